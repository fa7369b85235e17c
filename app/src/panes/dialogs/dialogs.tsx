export function Dialogs() {
  return null;
}

export function Strip() {
  return <header class="strip">Being made.</header>;
}

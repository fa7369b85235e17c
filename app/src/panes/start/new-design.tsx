export function NewDesign(_: { inPage?: boolean }) {
  return <p class="notice">Being made.</p>;
}

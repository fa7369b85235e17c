export function Outline() {
  return <p class="notice">Being made.</p>;
}

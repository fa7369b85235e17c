export default function Text() {
  return <p class="notice">Being made.</p>;
}

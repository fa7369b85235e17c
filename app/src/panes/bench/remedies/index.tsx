export default function Remedies() {
  return <p class="notice">Being made.</p>;
}

export default function Variants() {
  return <p class="notice">Being made.</p>;
}

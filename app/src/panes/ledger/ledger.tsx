export function Ledger() {
  return <p class="notice">Being made.</p>;
}

export default function Machine() {
  return <p>The machine is being drawn.</p>;
}

export default function Cycle() {
  return <p>The machine is being drawn.</p>;
}

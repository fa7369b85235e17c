export default function Modes() {
  return <p>The machine is being drawn.</p>;
}

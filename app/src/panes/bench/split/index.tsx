export default function Split() {
  return <p>The machine is being drawn.</p>;
}

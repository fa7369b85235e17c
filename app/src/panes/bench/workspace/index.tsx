export default function Workspace() {
  return <p>The machine is being drawn.</p>;
}

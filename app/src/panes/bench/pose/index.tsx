export default function Pose() {
  return <p>The machine is being drawn.</p>;
}

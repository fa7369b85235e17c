/** slowed says how much slower than the machine the drawing swings. */
export function slowed(hz: number, drawn: number): string {
  const times = hz / drawn;
  return times >= 1.05 ? `${times.toPrecision(2)} times slower than the machine` : "as fast as the machine";
}

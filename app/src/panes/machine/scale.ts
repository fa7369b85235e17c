// Round numbers: for how much too large a shape is drawn, and for axes and legends.

/** roundDown is the greatest of 1, 2, 5 times a power of ten that is not above x; 0 where x is not positive. */
export function roundDown(x: number): number {
  if (!(x > 0) || !Number.isFinite(x)) return 0;
  const ten = 10 ** Math.floor(Math.log10(x) + 1e-12);
  const lead = x / ten;
  return (lead >= 5 - 1e-9 ? 5 : lead >= 2 - 1e-9 ? 2 : 1) * ten;
}

/** How much of the machine's size the largest movement may take in the picture; a choice. */
const shareOfSize = 0.06;

/** exaggeration is the round factor by which a shape whose largest movement is given is drawn too large. */
export function exaggeration(largest: number, size: number): number {
  if (!(largest > 0) || !(size > 0)) return 1;
  return Math.max(1, roundDown((shareOfSize * size) / largest));
}

/** scaleChoices are the factors offered beside the automatic one. */
export function scaleChoices(auto: number): number[] {
  const out = new Set<number>([1]);
  const lead = [1, 2, 5];
  const ten = Math.floor(Math.log10(Math.max(1, auto)));
  for (let e = Math.max(0, ten - 1); e <= ten + 1; e++) for (const l of lead) out.add(l * 10 ** e);
  return [...out].sort((a, b) => a - b);
}

/** ticks are round values from least to greatest, about as many as asked. */
export function ticks(least: number, greatest: number, about = 5): number[] {
  if (!(greatest > least)) return [least];
  const raw = (greatest - least) / about;
  const down = roundDown(raw);
  const step = [down, 2 * down, 2.5 * down, 5 * down].find((s) => s >= raw * 0.999) ?? down;
  const first = Math.ceil(least / step - 1e-9);
  const out: number[] = [];
  for (let i = first; i * step <= greatest + step * 1e-9; i++) out.push(Number((i * step).toPrecision(12)));
  return out;
}

/** tooLarge says by how much the picture exaggerates. */
export function tooLarge(factor: number): string {
  return factor === 1
    ? "drawn at true scale"
    : `drawn ${factor.toLocaleString("en").replaceAll(",", "\u202f")} times too large`;
}

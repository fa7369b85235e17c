// Dimension lines: beside the machine, with short lines out to what they measure.

import type { Scene, Vec3 } from "../../api/types";
import { add, type Box, cross, diagonal, dot, middle, norm, sub, times, unit } from "./vec";

export interface SizeLine {
  ends: number[]; // pairs of ends, six numbers each
  label: { at: Vec3; text: string; name: string; along: [Vec3, Vec3] };
}

/** How far from the machine lines are drawn, as part of its size: first and second row. A choice. */
const rows = [0.045, 0.095];
const overshoot = 0.012;
const arrow = 0.012;

/** sizeLines draws the main sizes; one that repeats another is left out. */
export function sizeLines(dims: Scene["dims"], box: Box): SizeLine[] {
  const size = diagonal(box);
  const out: SizeLine[] = [];
  const seen = new Set<string>();
  for (const d of dims) {
    const travel = d.name.startsWith("travel");
    const key = travel ? d.name : `${unit(sub(d.to, d.from)).map((v) => v.toFixed(2))} ${d.text}`;
    if (seen.has(key) || !(norm(sub(d.to, d.from)) > 0)) continue;
    seen.add(key);
    const row = travel ? 0 : d.name.startsWith("machine") ? rows[1]! : rows[0]!;
    out.push(sizeLine(d, outward(d.from, d.to, box), row * size, size));
  }
  return out;
}

/** outward is the horizontal direction, along an axis of the world, that leads from the machine past a line. */
export function outward(from: Vec3, to: Vec3, box: Box): Vec3 {
  const d = unit(sub(to, from));
  const away = sub(times(0.5, add(from, to)), middle(box));
  const half = times(0.5, sub(box.max, box.min));
  let best: Vec3 = [0, -1, 0];
  let most = -Infinity;
  for (const k of [1, 0] as const) {
    if (Math.abs(d[k]) > 0.5) continue;
    const share = half[k] > 0 ? Math.abs(away[k]) / half[k] : 0;
    if (share > most + 1e-6) {
      most = share;
      best = [0, 0, 0];
      best[k] = away[k] >= 0 && k === 0 ? 1 : away[k] > 0 ? 1 : -1;
    }
  }
  return best;
}

function sizeLine(d: Scene["dims"][number], out: Vec3, away: number, size: number): SizeLine {
  const x = unit(sub(d.to, d.from));
  const side = Math.abs(dot(out, x)) > 0.9 ? unit(cross(x, [0, 0, 1])) : out;
  const a = add(d.from, times(away, side));
  const b = add(d.to, times(away, side));
  const ends: number[] = [...a, ...b];
  if (away > 0) {
    const past = times(overshoot * size, side);
    ends.push(...add(d.from, times(0.2 * away, side)), ...add(a, past));
    ends.push(...add(d.to, times(0.2 * away, side)), ...add(b, past));
  }
  const l = Math.min(arrow * size, norm(sub(d.to, d.from)) / 4);
  for (const [tip, along] of [
    [a, x],
    [b, times(-1, x)],
  ] as const)
    for (const s of [0.3, -0.3]) ends.push(...tip, ...add(tip, add(times(l, along), times(s * l, side))));
  const text = d.name.startsWith("travel ") ? `${d.name.slice("travel ".length)} ${d.text}` : d.text;
  return { ends, label: { at: times(0.5, add(a, b)), text, name: d.name, along: [a, b] } };
}

/** boxLines are the twelve edges of a box. */
export function boxLines(box: Box): number[] {
  const [a, b] = [box.min, box.max];
  const p = (i: number, j: number, k: number): Vec3 => [i ? b[0] : a[0], j ? b[1] : a[1], k ? b[2] : a[2]];
  const out: number[] = [];
  const push = (u: Vec3, v: Vec3) => {
    if (norm(sub(v, u)) > 1e-6) out.push(...u, ...v);
  };
  for (const i of [0, 1])
    for (const j of [0, 1]) {
      push(p(0, i, j), p(1, i, j));
      push(p(i, 0, j), p(i, 1, j));
      push(p(i, j, 0), p(i, j, 1));
    }
  return out;
}

/** crossLines marks a place by three short lines. */
export function crossLines(at: Vec3, size: number): number[] {
  return [0, 1, 2].flatMap((k) => {
    const d: Vec3 = [0, 0, 0];
    d[k] = size;
    return [...sub(at, d), ...add(at, d)];
  });
}

// The map as a plane: which places lie in it and where.

import type { FineMap, MapPoint, Mapped, SpaceMap } from "../../../api/types";

/** Plane is two axes of the grid to look at, and the index of every other axis. */
export interface Plane {
  across: number;
  up: number;
  fixed: number[]; // an index of the grid for each axis; those of across and up are not used
}

/** planeOf is the plane seen first: the first axis across, the last upwards, the others in their middle. */
export function planeOf(map: Pick<SpaceMap, "counts">, across = 0, up = map.counts.length - 1): Plane {
  return { across, up, fixed: map.counts.map((n) => Math.floor((n - 1) / 2)) };
}

/** planes are all pairs of axes. */
export function planes(count: number): [number, number][] {
  const out: [number, number][] = [];
  for (let a = 0; a < count; a++) for (let b = a + 1; b < count; b++) out.push([a, b]);
  return out;
}

/** indexOf is the place in the list of values; the last axis runs fastest. */
export function indexOf(counts: readonly number[], at: readonly number[]): number {
  return counts.reduce((sum, n, i) => sum * n + (at[i] ?? 0), 0);
}

export interface Cell {
  column: number;
  row: number; // from below
  index: number;
  point: MapPoint;
}

/** cells are the places of a plane, row by row from below. */
export function cells(map: Pick<SpaceMap, "counts" | "values">, plane: Plane): Cell[] {
  const out: Cell[] = [];
  for (let row = 0; row < (map.counts[plane.up] ?? 0); row++) {
    for (let column = 0; column < (map.counts[plane.across] ?? 0); column++) {
      const at = plane.fixed.slice();
      at[plane.across] = column;
      at[plane.up] = row;
      const index = indexOf(map.counts, at);
      const point = map.values[index];
      if (point) out.push({ column, row, index, point });
    }
  }
  return out;
}

/** amount is the number of a place. */
export function amount(p: Pick<MapPoint, "sag" | "u" | "hz">, of: Mapped): number {
  return of === "sag" ? p.sag : of === "hz" ? p.hz : p.u[axisNumber[of]];
}

/** textOf is the same in words. */
export function textOf(p: Pick<MapPoint, "text">, of: Mapped): string {
  return of === "sag" ? p.text.sag : of === "hz" ? p.text.hz : p.text.u[axisNumber[of]];
}

const axisNumber = { x: 0, y: 1, z: 2 } as const;

/** part is where v lies between least (0) and greatest (1); 0 where they are the same. */
export const part = (v: number, least: number, greatest: number): number =>
  greatest > least ? (v - least) / (greatest - least) : 0;

/** Edges of the bands that cells cover along one axis: half way between neighbours, m. */
export function bands(count: number, travel: number): number[] {
  if (count < 2) return [0, travel];
  const step = travel / (count - 1);
  return Array.from({ length: count + 1 }, (_, i) => Math.min(travel, Math.max(0, (i - 0.5) * step)));
}

/** fineValue reads a fine map; frequencies are not in it. */
export function fineValue(fine: FineMap, i: number, of: Mapped): number | null {
  if (of === "hz") return null;
  return of === "sag" ? (fine.sag[i] ?? null) : (fine.u[i]?.[axisNumber[of]] ?? null);
}

/** fineEnds are least and greatest of a fine map. */
export function fineEnds(fine: FineMap, of: Mapped): [number, number] {
  let [least, greatest] = [Infinity, -Infinity];
  for (let i = 0; i < fine.sag.length; i++) {
    const v = fineValue(fine, i, of);
    if (v === null) continue;
    least = Math.min(least, v);
    greatest = Math.max(greatest, v);
  }
  return [least, greatest];
}

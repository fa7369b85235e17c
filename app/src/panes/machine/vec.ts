// Vectors of three numbers, for the drawing only.

import type { Vec3 } from "../../api/types";

export const add = (a: Vec3, b: Vec3): Vec3 => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const sub = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const times = (k: number, a: Vec3): Vec3 => [k * a[0], k * a[1], k * a[2]];
export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const norm = (a: Vec3): number => Math.hypot(a[0], a[1], a[2]);
export const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/** unit is the direction of a, or zero where a is zero. */
export function unit(a: Vec3): Vec3 {
  const l = norm(a);
  return l > 0 ? times(1 / l, a) : [0, 0, 0];
}

/** Box is bounds along the world axes, m. */
export interface Box {
  min: Vec3;
  max: Vec3;
}

export function emptyBox(): Box {
  return { min: [Infinity, Infinity, Infinity], max: [-Infinity, -Infinity, -Infinity] };
}

/** grow widens the box in place to hold p. */
export function grow(box: Box, x: number, y: number, z: number): void {
  if (x < box.min[0]) box.min[0] = x;
  if (y < box.min[1]) box.min[1] = y;
  if (z < box.min[2]) box.min[2] = z;
  if (x > box.max[0]) box.max[0] = x;
  if (y > box.max[1]) box.max[1] = y;
  if (z > box.max[2]) box.max[2] = z;
}

export const middle = (b: Box): Vec3 => times(0.5, add(b.min, b.max));
export const diagonal = (b: Box): number => norm(sub(b.max, b.min));

export function corners(b: Box): Vec3[] {
  const out: Vec3[] = [];
  for (const x of [b.min[0], b.max[0]])
    for (const y of [b.min[1], b.max[1]]) for (const z of [b.min[2], b.max[2]]) out.push([x, y, z]);
  return out;
}

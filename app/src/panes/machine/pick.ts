// Which part lies under the pointer.

import type { Solid, Vec3 } from "../../api/types";
import type { BodyMesh } from "./bodies";
import type { Ray } from "./camera";
import { type Box, sub } from "./vec";

/** Cut hides what lies on the far side of a plane: points with normal·p > at are not drawn. */
export interface Cut {
  normal: Vec3;
  at: number;
}

/** Drawn is one body as it stands in the picture. */
export interface Drawn {
  mesh: BodyMesh;
  shift: Vec3;
  /** movement of each corner, m, drawn amp times too large; null for none */
  moved: Float32Array | null;
  amp: number;
}

export interface Hit {
  solid: Solid;
  at: Vec3;
}

/** pick returns the nearest solid that the ray meets. */
export function pick(ray: Ray, bodies: readonly Drawn[], cut: Cut | null): Hit | null {
  let best = Infinity;
  let hit: Solid | null = null;
  for (const b of bodies) {
    const origin = sub(ray.origin, b.shift);
    const slack = b.moved ? largest(b.moved) * Math.abs(b.amp) : 0;
    if (!meetsBox(origin, ray.direction, b.mesh.box, slack)) continue;
    for (const piece of b.mesh.pieces) {
      if (!meetsBox(origin, ray.direction, piece.box, slack)) continue;
      for (let t = piece.faces[0]; t < piece.faces[1]; t++) {
        const s = meets(origin, ray.direction, corner(b, 9 * t));
        if (!(s < best)) continue;
        if (cut && hidden(ray, s, cut)) continue;
        best = s;
        hit = piece.solid;
      }
    }
  }
  return hit ? { solid: hit, at: along(ray, best) } : null;
}

const along = (ray: Ray, s: number): Vec3 => [
  ray.origin[0] + s * ray.direction[0],
  ray.origin[1] + s * ray.direction[1],
  ray.origin[2] + s * ray.direction[2],
];

function hidden(ray: Ray, s: number, cut: Cut): boolean {
  const p = along(ray, s);
  return p[0] * cut.normal[0] + p[1] * cut.normal[1] + p[2] * cut.normal[2] > cut.at;
}

function largest(a: Float32Array): number {
  let m = 0;
  for (const v of a) if (Math.abs(v) > m) m = Math.abs(v);
  return m;
}

/** meetsBox says whether a ray meets a box widened by slack. */
export function meetsBox(origin: Vec3, direction: Vec3, box: Box, slack = 0): boolean {
  let near = 0;
  let far = Infinity;
  for (let i = 0; i < 3; i++) {
    const o = origin[i]!;
    const d = direction[i]!;
    const a = (box.min[i]! - slack - o) / d;
    const b = (box.max[i]! + slack - o) / d;
    if (Number.isNaN(a) || Number.isNaN(b)) {
      if (o < box.min[i]! - slack || o > box.max[i]! + slack) return false;
      continue;
    }
    near = Math.max(near, Math.min(a, b));
    far = Math.min(far, Math.max(a, b));
  }
  return near <= far;
}

const triangle = new Float64Array(9);

/** corner reads the three corners of a triangle as drawn. */
function corner(b: Drawn, i: number): Float64Array {
  for (let k = 0; k < 9; k++) triangle[k] = b.mesh.positions[i + k]! + (b.moved ? b.amp * b.moved[i + k]! : 0);
  return triangle;
}

// The usual test of a ray against a triangle by two edges and a determinant.
function meets(o: Vec3, d: Vec3, p: Float64Array): number {
  const e1x = p[3]! - p[0]!;
  const e1y = p[4]! - p[1]!;
  const e1z = p[5]! - p[2]!;
  const e2x = p[6]! - p[0]!;
  const e2y = p[7]! - p[1]!;
  const e2z = p[8]! - p[2]!;
  const hx = d[1] * e2z - d[2] * e2y;
  const hy = d[2] * e2x - d[0] * e2z;
  const hz = d[0] * e2y - d[1] * e2x;
  const det = e1x * hx + e1y * hy + e1z * hz;
  if (det === 0) return Infinity;
  const sx = o[0] - p[0]!;
  const sy = o[1] - p[1]!;
  const sz = o[2] - p[2]!;
  const s = (sx * hx + sy * hy + sz * hz) / det;
  if (s < 0 || s > 1) return Infinity;
  const qx = sy * e1z - sz * e1y;
  const qy = sz * e1x - sx * e1z;
  const qz = sx * e1y - sy * e1x;
  const t = (d[0] * qx + d[1] * qy + d[2] * qz) / det;
  if (t < 0 || s + t > 1) return Infinity;
  const far = (e2x * qx + e2y * qy + e2z * qz) / det;
  return far > 0 ? far : Infinity;
}

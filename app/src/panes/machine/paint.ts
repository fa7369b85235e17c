// Solids painted one over the other, for a drawing without WebGL.

import type { Vec3 } from "../../api/types";
import type { BodyMesh } from "./bodies";
import { basis, type Camera, eye, projector, type Size } from "./camera";
import { add, dot, middle, sub, times } from "./vec";

/** Painted is one solid as it is drawn. */
export interface Painted {
  id: string;
  path: string;
  near: number;
  faces: string;
  lines: string;
}

/** paint projects the solids, the farthest first: what comes later covers what came before. */
export function paint(bodies: BodyMesh[], moved: ReadonlyMap<number, Vec3>, c: Camera, size: Size): Painted[] {
  const to = projector(c, size);
  const { back } = basis(c);
  const from = c.perspective ? eye(c) : add(c.target, times(1e4, back));
  const out: Painted[] = [];
  for (const b of bodies) {
    const shift = moved.get(b.body) ?? ([0, 0, 0] as Vec3);
    const at = (list: Float32Array, i: number): Vec3 => [
      list[i]! + shift[0],
      list[i + 1]! + shift[1],
      list[i + 2]! + shift[2],
    ];
    const xy = (p: Vec3) => {
      const spot = to(p);
      return `${spot.x.toFixed(1)} ${spot.y.toFixed(1)}`;
    };
    for (const piece of b.pieces) {
      const faces: string[] = [];
      for (let t = piece.faces[0]; t < piece.faces[1]; t++) {
        const [p, q, r] = [at(b.positions, 9 * t), at(b.positions, 9 * t + 3), at(b.positions, 9 * t + 6)];
        const [u, v] = [sub(q, p), sub(r, p)];
        const n: Vec3 = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
        if (dot(n, sub(from, p)) > 0) faces.push(`M${xy(p)}L${xy(q)} ${xy(r)}z`);
      }
      const lines: string[] = [];
      for (let e = piece.edges[0]; e < piece.edges[1]; e++) {
        const [p, q] = [at(b.ends, 6 * e), at(b.ends, 6 * e + 3)];
        const sight = sub(from, p);
        const s1 = b.normals[6 * e]! * sight[0] + b.normals[6 * e + 1]! * sight[1] + b.normals[6 * e + 2]! * sight[2];
        const s2 =
          b.normals[6 * e + 3]! * sight[0] + b.normals[6 * e + 4]! * sight[1] + b.normals[6 * e + 5]! * sight[2];
        const outline = s1 > 0 !== s2 > 0;
        const spaced = (Math.abs(b.fine[e]!) * size.height) / c.span > 4;
        if ((outline && b.fine[e]! >= 0) || (spaced && (s1 > 0 || s2 > 0))) lines.push(`M${xy(p)}L${xy(q)}`);
      }
      const near = dot(sub(add(middle(piece.box), shift), c.target), back);
      const id = piece.solid.of || piece.solid.id;
      out.push({ id, path: piece.solid.path, near, faces: faces.join(""), lines: lines.join("") });
    }
  }
  return out.sort((p, q) => p.near - q.near);
}

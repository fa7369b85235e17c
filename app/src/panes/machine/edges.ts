// The lines by which a solid is drawn: its feature edges, and the edges of its
// round faces that become outlines from where one stands.

/** What an edge is: always drawn; between two faces at an angle; between two facets of a round face. */
export const edgeKind = { mark: 0, feature: 1, round: 2 } as const;

/** Edges are pairs of ends with the directions of the faces on both sides (zero for a mark). */
export interface Edges {
  ends: Float32Array; // 6 an edge: x y z of both ends, m
  normals: Float32Array; // 6 an edge
  kinds: Uint8Array;
}

/** Angles between facets: below flat nothing is drawn, above sharp always. Choices, rad. */
const flat = (1.5 * Math.PI) / 180;
const sharp = (38 * Math.PI) / 180;

/** Corners nearer than this are one corner, m. */
const weldAt = 2e-5;

/** Corners gives the same number to corners at the same place. */
class Corners {
  private size: number;
  private table: Int32Array;
  private keys: Int32Array;
  count = 0;
  constructor(expected: number) {
    this.size = 1 << Math.ceil(Math.log2(Math.max(16, expected * 2)));
    this.table = new Int32Array(this.size).fill(-1);
    this.keys = new Int32Array(3 * Math.max(8, expected));
  }
  number(x: number, y: number, z: number): number {
    const a = Math.round(x / weldAt) | 0;
    const b = Math.round(y / weldAt) | 0;
    const c = Math.round(z / weldAt) | 0;
    let h = (Math.imul(a, 73856093) ^ Math.imul(b, 19349663) ^ Math.imul(c, 83492791)) & (this.size - 1);
    for (;;) {
      const k = this.table[h]!;
      if (k < 0) break;
      if (this.keys[3 * k] === a && this.keys[3 * k + 1] === b && this.keys[3 * k + 2] === c) return k;
      h = (h + 1) & (this.size - 1);
    }
    const k = this.count++;
    this.table[h] = k;
    this.keys.set([a, b, c], 3 * k);
    return k;
  }
}

interface Side {
  a: number; // vertex index of one end
  b: number;
  n1: number; // triangle
  n2: number; // -1: none
  more: boolean;
}

/**
 * edgesOf finds the edges of a mesh. marks are further lines to draw (pairs of
 * ends); those that are edges of the mesh anyway are not repeated.
 */
export function edgesOf(positions: Float32Array, triangles: Uint32Array, marks: Float32Array): Edges {
  const corner = new Corners(positions.length / 3 + marks.length / 3);
  const at = new Int32Array(positions.length / 3);
  for (let i = 0; i < at.length; i++)
    at[i] = corner.number(positions[3 * i]!, positions[3 * i + 1]!, positions[3 * i + 2]!);
  const normals = facets(positions, triangles);
  const sides = new Map<number, Side>();
  const key = (u: number, v: number) => (u < v ? u * 67108864 + v : v * 67108864 + u);
  for (let t = 0; t < triangles.length / 3; t++) {
    for (let e = 0; e < 3; e++) {
      const a = triangles[3 * t + e]!;
      const b = triangles[3 * t + ((e + 1) % 3)]!;
      const [u, v] = [at[a]!, at[b]!];
      if (u === v) continue;
      const k = key(u, v);
      const known = sides.get(k);
      if (!known) sides.set(k, { a, b, n1: t, n2: -1, more: false });
      else if (known.n2 < 0) known.n2 = t;
      else known.more = true;
    }
  }
  const wanted: Side[] = [];
  const kinds: number[] = [];
  const drawn = new Set<number>();
  for (const [k, s] of sides) {
    const kind = kindOf(normals, s);
    if (kind === null) continue;
    wanted.push(s);
    kinds.push(kind);
    drawn.add(k);
  }
  const extra: number[] = [];
  for (let i = 0; i < marks.length; i += 6) {
    const u = corner.number(marks[i]!, marks[i + 1]!, marks[i + 2]!);
    const v = corner.number(marks[i + 3]!, marks[i + 4]!, marks[i + 5]!);
    if (u !== v && !drawn.has(key(u, v))) extra.push(i);
  }
  return pack(positions, normals, wanted, kinds, marks, extra);
}

function kindOf(normals: Float32Array, s: Side): number | null {
  if (s.n2 < 0 || s.more) return edgeKind.feature;
  let cos = 0;
  for (let i = 0; i < 3; i++) cos += normals[3 * s.n1 + i]! * normals[3 * s.n2 + i]!;
  const angle = Math.acos(Math.min(1, Math.max(-1, cos)));
  if (angle < flat) return null;
  return angle > sharp ? edgeKind.feature : edgeKind.round;
}

function pack(
  positions: Float32Array,
  normals: Float32Array,
  sides: Side[],
  kinds: number[],
  marks: Float32Array,
  extra: number[],
): Edges {
  const n = sides.length + extra.length;
  const out: Edges = { ends: new Float32Array(6 * n), normals: new Float32Array(6 * n), kinds: new Uint8Array(n) };
  sides.forEach((s, i) => {
    out.ends.set(positions.subarray(3 * s.a, 3 * s.a + 3), 6 * i);
    out.ends.set(positions.subarray(3 * s.b, 3 * s.b + 3), 6 * i + 3);
    out.normals.set(normals.subarray(3 * s.n1, 3 * s.n1 + 3), 6 * i);
    const other = s.n2 < 0 ? s.n1 : s.n2;
    out.normals.set(normals.subarray(3 * other, 3 * other + 3), 6 * i + 3);
    out.kinds[i] = kinds[i]!;
  });
  extra.forEach((from, j) => {
    out.ends.set(marks.subarray(from, from + 6), 6 * (sides.length + j));
    out.kinds[sides.length + j] = edgeKind.mark;
  });
  return out;
}

/** facets are the directions that the triangles face, 3 numbers each; zero for one without area. */
export function facets(positions: Float32Array, triangles: Uint32Array): Float32Array {
  const out = new Float32Array(triangles.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const [i, j, k] = [3 * triangles[t]!, 3 * triangles[t + 1]!, 3 * triangles[t + 2]!];
    const ux = positions[j]! - positions[i]!;
    const uy = positions[j + 1]! - positions[i + 1]!;
    const uz = positions[j + 2]! - positions[i + 2]!;
    const vx = positions[k]! - positions[i]!;
    const vy = positions[k + 1]! - positions[i + 1]!;
    const vz = positions[k + 2]! - positions[i + 2]!;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const l = Math.hypot(nx, ny, nz);
    if (!(l > 0)) continue;
    out[t] = nx / l;
    out[t + 1] = ny / l;
    out[t + 2] = nz / l;
  }
  return out;
}

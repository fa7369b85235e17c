// The lines by which a solid is drawn: its feature edges, and the edges of its
// round faces that become outlines from where one stands.

/**
 * Edges are pairs of ends with the directions of the faces on both sides (zero
 * where an edge has no faces). fine is how far away the next line like it runs,
 * m: lines that would run together in the picture are left out. It is negative
 * for an edge at a gap, as the lip of a slot, which is no outline of the body,
 * and 0 for one that is drawn only where it is an outline, as between two facets
 * of a round face.
 */
export interface Edges {
  ends: Float32Array; // 6 an edge: x y z of both ends, m
  normals: Float32Array; // 6 an edge
  fine: Float32Array;
}

/** Facets at a smaller angle are one face, rad. A choice. */
const flat = (1.5 * Math.PI) / 180;

/** What stands for "no other line near", m. */
const alone = 10;

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
 * edgesOf finds the edges of a mesh: those that marks names (pairs of ends), and
 * the others over which the surface bends outwards.
 */
export function edgesOf(positions: Float32Array, triangles: Uint32Array, marks: Float32Array): Edges {
  const corner = new Corners(positions.length / 3 + marks.length / 3);
  const at = new Int32Array(positions.length / 3);
  for (let i = 0; i < at.length; i++)
    at[i] = corner.number(positions[3 * i]!, positions[3 * i + 1]!, positions[3 * i + 2]!);
  const normals = facets(positions, triangles);
  const key = (u: number, v: number) => (u < v ? u * 67108864 + v : v * 67108864 + u);
  const sides = sidesOf(triangles, at, key);
  const out: number[] = []; // ends and normals, 12 an edge
  const fine: number[] = [];
  for (let i = 0; i < marks.length; i += 6) {
    const u = corner.number(marks[i]!, marks[i + 1]!, marks[i + 2]!);
    const v = corner.number(marks[i + 3]!, marks[i + 4]!, marks[i + 5]!);
    if (u === v) continue;
    out.push(...marks.subarray(i, i + 6), ...directions(normals, sides.get(key(u, v))));
    sides.delete(key(u, v));
  }
  fine.push(...spacings(out));
  for (const s of sides.values()) {
    if (s.n2 >= 0 && !s.more && !outward(positions, triangles, normals, s)) continue;
    const [a, b] = [3 * s.a, 3 * s.b];
    out.push(...positions.subarray(a, a + 3), ...positions.subarray(b, b + 3), ...directions(normals, s));
    fine.push(0);
  }
  const n = fine.length;
  const edges = { ends: new Float32Array(6 * n), normals: new Float32Array(6 * n), fine: Float32Array.from(fine) };
  for (let i = 0; i < n; i++)
    for (let j = 0; j < 6; j++) {
      edges.ends[6 * i + j] = out[12 * i + j]!;
      edges.normals[6 * i + j] = out[12 * i + 6 + j]!;
    }
  return edges;
}

function sidesOf(triangles: Uint32Array, at: Int32Array, key: (u: number, v: number) => number): Map<number, Side> {
  const sides = new Map<number, Side>();
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
  return sides;
}

function directions(normals: Float32Array, s: Side | undefined): number[] {
  if (!s || s.more) return [0, 0, 0, 0, 0, 0];
  const other = s.n2 < 0 ? s.n1 : s.n2;
  return [...normals.subarray(3 * s.n1, 3 * s.n1 + 3), ...normals.subarray(3 * other, 3 * other + 3)];
}

/** outward tells whether the surface bends away from the eye at an edge; into a groove or flat it does not. */
function outward(positions: Float32Array, triangles: Uint32Array, normals: Float32Array, s: Side): boolean {
  let cos = 0;
  let above = 0;
  const far = [0, 1, 2].map((e) => triangles[3 * s.n2 + e]!);
  for (let i = 0; i < 3; i++) {
    const n = normals[3 * s.n1 + i]!;
    cos += n * normals[3 * s.n2 + i]!;
    // the corners of the other triangle over the plane of this one: below it where the edge is convex
    const mean = (positions[3 * far[0]! + i]! + positions[3 * far[1]! + i]! + positions[3 * far[2]! + i]!) / 3;
    above += n * (mean - positions[3 * s.a + i]!);
  }
  return Math.acos(Math.min(1, Math.max(-1, cos))) > flat && above < 0;
}

/**
 * spacings is how far the nearest line of the same direction runs beside each
 * edge, m; negative where it runs across a gap, that is where one of the two
 * faces of the edge looks. Edges at a gap give way to the others, and not the
 * other way round. edges holds 12 numbers each: both ends, both faces.
 */
function spacings(edges: number[]): number[] {
  const n = edges.length / 12;
  const near = new Array<number>(n).fill(alone);
  const gap = new Array<number>(n).fill(alone);
  if (n > 1500) return near;
  const pairs: [number, number, number][] = [];
  const direction = near.map((_, i) => unitOf(edges, 12 * i));
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      const [a, b] = [direction[i]!, direction[j]!];
      if (i === j || Math.abs(a[0] * b[0] + a[1] * b[1] + a[2] * b[2]) < 0.99) continue;
      const { apart, facing } = beside(edges, 12 * i, 12 * j, a);
      if (apart < 1e-6) continue; // pieces of one line
      if (facing && apart < gap[i]!) gap[i] = apart;
      pairs.push([i, j, apart]);
    }
  }
  for (const [i, j, apart] of pairs) if (gap[j] === alone && apart < near[i]!) near[i] = apart;
  return near.map((m, i) => (gap[i]! < alone ? -gap[i]! : m));
}

/** beside is how far apart two parallel edges run, and whether a face of the first looks straight at the second. */
function beside(edges: number[], i: number, j: number, direction: [number, number, number]) {
  const v = [0, 1, 2].map((k) => (edges[j + k]! + edges[j + 3 + k]! - edges[i + k]! - edges[i + 3 + k]!) / 2);
  const along = v[0]! * direction[0] + v[1]! * direction[1] + v[2]! * direction[2];
  for (let k = 0; k < 3; k++) v[k] = v[k]! - along * direction[k]!;
  const apart = Math.hypot(v[0]!, v[1]!, v[2]!);
  const towards = (at: number) => v[0]! * edges[at]! + v[1]! * edges[at + 1]! + v[2]! * edges[at + 2]! > 0.98 * apart;
  return { apart, facing: towards(i + 6) || towards(i + 9) };
}

function unitOf(edges: number[], at: number): [number, number, number] {
  const d = [0, 1, 2].map((k) => edges[at + 3 + k]! - edges[at + k]!);
  const l = Math.hypot(d[0]!, d[1]!, d[2]!) || 1;
  return [d[0]! / l, d[1]! / l, d[2]! / l];
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

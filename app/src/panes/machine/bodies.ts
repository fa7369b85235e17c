// The solids of a scene, merged into one set of faces and one of edges for each
// body, so that the machine is drawn in few steps whatever it consists of.

import type { Mesh, Solid } from "../../api/types";
import { counts, floats } from "./decode";
import { type Edges, edgesOf, facets } from "./edges";
import { type Box, emptyBox, grow } from "./vec";

/** Piece says where a solid lies in its body's arrays. */
export interface Piece {
  solid: Solid;
  faces: [from: number, to: number]; // triangles
  edges: [from: number, to: number];
  box: Box; // at home
}

/** BodyMesh is all that moves together. */
export interface BodyMesh {
  body: number;
  positions: Float32Array; // 9 a triangle, m, at home
  tones: Float32Array; // 1 a corner: 0 paper to 1 shade
  ends: Float32Array; // 6 an edge
  normals: Float32Array; // 6 an edge
  fine: Float32Array; // 1 an edge
  pieces: Piece[];
  box: Box;
}

/** Ready is a mesh in its own frame, prepared for drawing. */
interface Ready {
  positions: Float32Array; // 9 a triangle
  normals: Float32Array; // 3 a triangle
  edges: Edges;
}

/** From where the light falls, for the quiet tone of faces: above, left, front. A choice. */
const light: [number, number, number] = [-0.45, -0.55, 0.7];

/** Workshop prepares meshes and remembers them, since most stay the same from one edit to the next. */
export class Workshop {
  private known = new Map<string, Ready>();
  private used = new Set<string>();

  /** assemble merges the solids of each body. */
  assemble(solids: Solid[], meshes: Mesh[]): BodyMesh[] {
    this.used.clear();
    const ready = meshes.map((m) => this.ready(m));
    const byBody = new Map<number, Solid[]>();
    for (const s of solids) {
      const list = byBody.get(s.body);
      if (list) list.push(s);
      else byBody.set(s.body, [s]);
    }
    const out = [...byBody].sort(([a], [b]) => a - b).map(([body, list]) => merge(body, list, ready));
    for (const key of this.known.keys()) if (!this.used.has(key)) this.known.delete(key);
    return out;
  }

  private ready(mesh: Mesh): Ready {
    const key = `${mesh.triangles.length}|${mesh.positions}|${mesh.edges ?? ""}`;
    this.used.add(key);
    let r = this.known.get(key);
    if (!r) {
      r = prepare(floats(mesh.positions), counts(mesh.triangles), floats(mesh.edges));
      this.known.set(key, r);
    }
    return r;
  }
}

function prepare(positions: Float32Array, triangles: Uint32Array, marks: Float32Array): Ready {
  const flat = new Float32Array(triangles.length * 3);
  for (let i = 0; i < triangles.length; i++)
    flat.set(positions.subarray(3 * triangles[i]!, 3 * triangles[i]! + 3), 3 * i);
  return { positions: flat, normals: facets(positions, triangles), edges: edgesOf(positions, triangles, marks) };
}

/** put writes from, moved by a matrix (column by column), into to at place; w is 1 for places, 0 for directions. */
function put(from: Float32Array, m: readonly number[], w: number, to: Float32Array, place: number): void {
  for (let i = 0; i < from.length; i += 3) {
    const [x, y, z] = [from[i]!, from[i + 1]!, from[i + 2]!];
    for (let k = 0; k < 3; k++) to[place + i + k] = m[k]! * x + m[4 + k]! * y + m[8 + k]! * z + w * m[12 + k]!;
  }
}

function merge(body: number, solids: Solid[], ready: Ready[]): BodyMesh {
  const have = solids.filter((s) => ready[s.mesh]);
  const sum = (of: (r: Ready) => number) => have.reduce((n, s) => n + of(ready[s.mesh]!), 0);
  const triangles = sum((r) => r.normals.length / 3);
  const edges = sum((r) => r.edges.fine.length);
  const out: BodyMesh = {
    body,
    positions: new Float32Array(9 * triangles),
    tones: new Float32Array(3 * triangles),
    ends: new Float32Array(6 * edges),
    normals: new Float32Array(6 * edges),
    fine: new Float32Array(edges),
    pieces: [],
    box: emptyBox(),
  };
  let t = 0;
  let e = 0;
  for (const solid of have) {
    const r = ready[solid.mesh]!;
    const [tt, ee] = [r.normals.length / 3, r.edges.fine.length];
    put(r.positions, solid.matrix, 1, out.positions, 9 * t);
    shade(r.normals, solid.matrix, out.tones, 3 * t);
    put(r.edges.ends, solid.matrix, 1, out.ends, 6 * e);
    put(r.edges.normals, solid.matrix, 0, out.normals, 6 * e);
    out.fine.set(r.edges.fine, e);
    const box = emptyBox();
    for (let i = 9 * t; i < 9 * (t + tt); i += 3)
      grow(box, out.positions[i]!, out.positions[i + 1]!, out.positions[i + 2]!);
    grow(out.box, ...box.min);
    grow(out.box, ...box.max);
    out.pieces.push({ solid, faces: [t, t + tt], edges: [e, e + ee], box });
    t += tt;
    e += ee;
  }
  return out;
}

/** shade gives faces that look away from the light a darker tone. Bodies only translate, so it stays. */
function shade(normals: Float32Array, m: readonly number[], tones: Float32Array, place: number): void {
  const turned = new Float32Array(normals.length);
  put(normals, m, 0, turned, 0);
  for (let i = 0; i < turned.length; i += 3) {
    const lit = turned[i]! * light[0] + turned[i + 1]! * light[1] + turned[i + 2]! * light[2];
    tones.fill(Math.min(1, Math.max(0, 0.5 - 0.5 * lit)), place + i, place + i + 3);
  }
}

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
  kinds: Float32Array; // 1 an edge
  pieces: Piece[];
  box: Box;
}

interface Ready {
  positions: Float32Array; // 9 a triangle
  tones: Float32Array;
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
  const normals = facets(positions, triangles);
  const flat = new Float32Array(triangles.length * 3);
  const tones = new Float32Array(triangles.length);
  for (let i = 0; i < triangles.length; i++) {
    flat.set(positions.subarray(3 * triangles[i]!, 3 * triangles[i]! + 3), 3 * i);
    const t = i - (i % 3);
    const lit = normals[t]! * light[0] + normals[t + 1]! * light[1] + normals[t + 2]! * light[2];
    tones[i] = Math.min(1, Math.max(0, 0.5 - 0.5 * lit));
  }
  return { positions: flat, tones, edges: edgesOf(positions, triangles, marks) };
}

function merge(body: number, solids: Solid[], ready: Ready[]): BodyMesh {
  const have = solids.filter((s) => ready[s.mesh]);
  const sum = (of: (r: Ready) => number) => have.reduce((n, s) => n + of(ready[s.mesh]!), 0);
  const corners = sum((r) => r.tones.length);
  const edges = sum((r) => r.edges.kinds.length);
  const out: BodyMesh = {
    body,
    positions: new Float32Array(3 * corners),
    tones: new Float32Array(corners),
    ends: new Float32Array(6 * edges),
    normals: new Float32Array(6 * edges),
    kinds: new Float32Array(edges),
    pieces: [],
    box: emptyBox(),
  };
  let c = 0;
  let e = 0;
  for (const solid of have) {
    const r = ready[solid.mesh]!;
    out.positions.set(r.positions, 3 * c);
    out.tones.set(r.tones, c);
    out.ends.set(r.edges.ends, 6 * e);
    out.normals.set(r.edges.normals, 6 * e);
    out.kinds.set(r.edges.kinds, e);
    const box = emptyBox();
    for (let i = 0; i < r.positions.length; i += 3)
      grow(box, r.positions[i]!, r.positions[i + 1]!, r.positions[i + 2]!);
    grow(out.box, ...box.min);
    grow(out.box, ...box.max);
    out.pieces.push({
      solid,
      faces: [c / 3, (c + r.tones.length) / 3],
      edges: [e, e + r.edges.kinds.length],
      box,
    });
    c += r.tones.length;
    e += r.edges.kinds.length;
  }
  return out;
}

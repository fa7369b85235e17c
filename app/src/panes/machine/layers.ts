// What stands in the picture, in layers: bodies with faces and lines, parts that
// are lit up, and plain lines. Each layer owns what it put on the graphics
// processor and frees it.

import {
  BufferAttribute,
  BufferGeometry,
  Color,
  DoubleSide,
  Float32BufferAttribute,
  Group,
  Mesh,
  MeshBasicMaterial,
  type ShaderMaterial,
} from "three";
import type { Vec3 } from "../../api/types";
import type { BodyMesh } from "./bodies";
import { faceGeometry, lineGeometry, needed, setHalves } from "./ink";
import type { Sheet } from "./stage";

/** Moved is how far the corners of faces and the ends of edges of a body move, m, three numbers each. */
export interface Moved {
  faces: Float32Array;
  ends: Float32Array;
}

interface BodyMaterials {
  faces: ShaderMaterial | null;
  lines: ShaderMaterial;
}

/** BodyLayer draws bodies, each with one set of faces and one of lines. */
export class BodyLayer {
  readonly root = new Group();
  private parts: { body: number; group: Group; faces: Mesh | null; lines: Mesh }[] = [];
  bodies: BodyMesh[] = [];

  constructor(
    private materials: BodyMaterials,
    order: number,
  ) {
    this.root.renderOrder = order;
  }

  show(bodies: BodyMesh[]): void {
    this.clear();
    this.bodies = bodies;
    for (const b of bodies) {
      const group = new Group();
      const faces = this.materials.faces
        ? new Mesh(faceGeometry({ positions: b.positions, tones: b.tones, moved: null }), this.materials.faces)
        : null;
      const lines = new Mesh(lineGeometry(b), this.materials.lines);
      for (const m of [faces, lines]) {
        if (!m) continue;
        m.frustumCulled = false;
        m.renderOrder = this.root.renderOrder + (m === lines ? 1 : 0);
        group.add(m);
      }
      this.root.add(group);
      this.parts.push({ body: b.body, group, faces, lines });
    }
  }

  /** spare leaves out edges at gaps that are too narrow to be seen. */
  spare(perMetre: number): void {
    this.parts.forEach((p, i) => {
      const fine = this.bodies[i]?.fine;
      if (fine) p.lines.geometry.setDrawRange(0, 6 * needed(fine, perMetre));
    });
  }

  /** at puts the bodies where they stand. */
  at(shifts: ReadonlyMap<number, Vec3>): void {
    for (const p of this.parts) p.group.position.set(...(shifts.get(p.body) ?? [0, 0, 0]));
  }

  /** bend gives each body its movement, in the order in which they were shown; null ends all. */
  bend(moved: readonly (Moved | null)[] | null): void {
    this.parts.forEach((p, i) => {
      const m = moved?.[i];
      if (p.faces) bendFaces(p.faces, m?.faces);
      bendLines(p.lines, m?.ends);
    });
  }

  clear(): void {
    for (const p of this.parts) {
      this.root.remove(p.group);
      p.faces?.geometry.dispose();
      p.lines.geometry.dispose();
    }
    this.parts = [];
    this.bodies = [];
  }
}

function bendFaces(mesh: Mesh, moved: Float32Array | undefined): void {
  const g = mesh.geometry;
  if (!moved) {
    g.deleteAttribute("moved");
    return;
  }
  const old = g.getAttribute("moved") as BufferAttribute | undefined;
  if (old && old.array.length === moved.length) {
    (old.array as Float32Array).set(moved);
    old.needsUpdate = true;
  } else g.setAttribute("moved", new BufferAttribute(moved.slice(), 3));
}

function bendLines(mesh: Mesh, moved: Float32Array | undefined): void {
  if (moved) setHalves(mesh.geometry, "moved", moved);
  else for (const name of ["movedA", "movedB"]) mesh.geometry.deleteAttribute(name);
}

/** only cuts the pieces with the given ids out of a body; null where it has none of them. */
export function only(body: BodyMesh, ids: ReadonlySet<string>): BodyMesh | null {
  const pieces = body.pieces.filter((p) => ids.has(p.solid.id) || (p.solid.of !== undefined && ids.has(p.solid.of)));
  if (pieces.length === 0) return null;
  return {
    body: body.body,
    positions: stretches(body.positions, pieces, "faces", 9),
    tones: stretches(body.tones, pieces, "faces", 3),
    ends: stretches(body.ends, pieces, "edges", 6),
    normals: stretches(body.normals, pieces, "edges", 6),
    fine: stretches(body.fine, pieces, "edges", 1),
    pieces,
    box: body.box,
  };
}

/** onlyMoved is the same cut of a body's movements. */
export function onlyMoved(moved: Moved, pieces: BodyMesh["pieces"]): Moved {
  return { faces: stretches(moved.faces, pieces, "faces", 9), ends: stretches(moved.ends, pieces, "edges", 6) };
}

function stretches(
  from: Float32Array,
  pieces: BodyMesh["pieces"],
  what: "faces" | "edges",
  size: number,
): Float32Array {
  const out = new Float32Array(pieces.reduce((n, p) => n + (p[what][1] - p[what][0]), 0) * size);
  let at = 0;
  for (const p of pieces) {
    const part = from.subarray(p[what][0] * size, p[what][1] * size);
    out.set(part, at);
    at += part.length;
  }
  return out;
}

/** LineLayer draws lines that stand still: boxes, sizes, axes of members. */
export class LineLayer {
  readonly root = new Group();
  private mesh: Mesh | null = null;

  constructor(
    readonly material: ShaderMaterial,
    private order: number,
  ) {}

  show(ends: Float32Array | null): void {
    if (this.mesh) {
      this.root.remove(this.mesh);
      this.mesh.geometry.dispose();
      this.mesh = null;
    }
    if (!ends || ends.length === 0) return;
    this.mesh = new Mesh(lineGeometry({ ends }), this.material);
    this.mesh.frustumCulled = false;
    this.mesh.renderOrder = this.order;
    this.root.add(this.mesh);
  }
}

/** SheetLayer draws a sheet, seen from both sides. */
export class SheetLayer {
  readonly root = new Group();
  private material = new MeshBasicMaterial({
    vertexColors: true,
    side: DoubleSide,
    transparent: true,
    opacity: 0.82,
    depthWrite: false,
  });
  private mesh: Mesh | null = null;

  constructor(private order: number) {}

  show(sheet: Sheet | null): void {
    if (this.mesh) {
      this.root.remove(this.mesh);
      this.mesh.geometry.dispose();
      this.mesh = null;
    }
    if (!sheet || sheet.at.length === 0) return;
    const g = new BufferGeometry();
    const tint = new Color();
    g.setAttribute("position", new Float32BufferAttribute(sheet.at.flat(), 3));
    g.setAttribute(
      "color",
      new Float32BufferAttribute(
        sheet.colours.flatMap((c) => tint.set(c).toArray()),
        3,
      ),
    );
    g.setIndex(quads(sheet.columns, sheet.at.length / sheet.columns));
    this.mesh = new Mesh(g, this.material);
    this.mesh.frustumCulled = false;
    this.mesh.renderOrder = this.order;
    this.root.add(this.mesh);
  }

  dispose(): void {
    this.show(null);
    this.material.dispose();
  }
}

/** quads are the triangles between the places of a grid. */
export function quads(columns: number, rows: number): number[] {
  const out: number[] = [];
  for (let r = 0; r + 1 < rows; r++)
    for (let c = 0; c + 1 < columns; c++) {
      const i = r * columns + c;
      out.push(i, i + 1, i + columns + 1, i, i + columns + 1, i + columns);
    }
  return out;
}

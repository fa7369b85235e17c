import { expect, test } from "vitest";
import type { Vec3 } from "../../api/types";
import type { BodyMesh } from "./bodies";
import type { Camera } from "./camera";
import { paint } from "./paint";

/** plate is one triangle across Y that faces the front, and one that faces the back, with an edge between. */
function plate(id: string, y: number): BodyMesh {
  const box = { min: [0, y, 0] as Vec3, max: [1, y, 1] as Vec3 };
  const solid = { id, body: 0, group: "stand", thing: "plate", path: id, mesh: 0, matrix: [] };
  return {
    body: 0,
    positions: new Float32Array([0, y, 0, 1, y, 0, 1, y, 1, 0, y, 0, 1, y, 1, 1, y, 0]),
    tones: new Float32Array(6),
    ends: new Float32Array([0, y, 0, 1, y, 1, 0, y, 0, 1, y, 0]),
    normals: new Float32Array([0, -1, 0, 0, 1, 0, 0, 1, 0, 0, 1, 0]),
    fine: new Float32Array([0, 10]),
    pieces: [{ solid, faces: [0, 2], edges: [0, 2], box }],
    box,
  };
}

const front: Camera = { target: [0, 0, 0], azimuth: 0, elevation: 0, span: 4, perspective: false };
const size = { width: 400, height: 400 };

test("the farthest is painted first, from wherever one looks", () => {
  const bodies = [plate("near", -1), plate("far", 2)];
  expect(paint(bodies, new Map(), front, size).map((p) => p.id)).toEqual(["far", "near"]);
  const behind = { ...front, azimuth: Math.PI };
  expect(paint(bodies, new Map(), behind, size).map((p) => p.id)).toEqual(["near", "far"]);
});

test("only faces that look at the eye are painted, and lines that are outlines or lie on them", () => {
  const [p] = paint([plate("a", 0)], new Map(), front, size);
  expect(p!.faces.match(/M/g)).toHaveLength(1);
  expect(p!.lines.match(/M/g)).toHaveLength(1); // the edge whose faces both look away is hidden
  expect(p!.faces).toContain("M200.0 200.0L300.0 200.0 300.0 100.0z"); // 100 px a metre, X right, Z up
});

test("a body is painted where it stands", () => {
  const [p] = paint([plate("a", 0)], new Map([[0, [0, 0, 1] as Vec3]]), front, size);
  expect(p!.faces).toContain("M200.0 100.0");
});

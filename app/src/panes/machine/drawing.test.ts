import { expect, test } from "vitest";
import type { Scene, Solid, Vec3 } from "../../api/types";
import { Workshop } from "./bodies";
import { floats } from "./decode";
import { byNeed, needed } from "./ink";
import { Latest } from "./latest";
import { only, quads } from "./layers";
import { shifts, toolAt } from "./motion";
import { rowsOf, typed } from "./part-list";
import { pick } from "./pick";
import { exaggeration, roundDown, scaleChoices, ticks, tooLarge } from "./scale";
import { boxLines, outward, sizeLines } from "./sizes";

const base64 = (list: Float32Array | Uint32Array) =>
  Buffer.from(list.buffer, list.byteOffset, list.byteLength).toString("base64");

/** cube is a mesh of side 1 with a corner at the origin. */
const cube = {
  positions: base64(new Float32Array([0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0, 0, 0, 1, 1, 0, 1, 1, 1, 1, 0, 1, 1])),
  triangles: base64(
    new Uint32Array([
      0, 2, 1, 0, 3, 2, 4, 5, 6, 4, 6, 7, 0, 1, 5, 0, 5, 4, 1, 2, 6, 1, 6, 5, 2, 3, 7, 2, 7, 6, 3, 0, 4, 3, 4, 7,
    ]),
  ),
  edges: base64(new Float32Array([0, 0, 0, 1, 0, 0])),
};

function solid(id: string, body: number, at: Vec3, more: Partial<Solid> = {}): Solid {
  const matrix = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, ...at, 1];
  return { id, body, group: "stand", thing: "profile", path: "stand", mesh: 0, matrix, ...more };
}

const still = (mesh: ReturnType<Workshop["assemble"]>[number], shift: Vec3 = [0, 0, 0]) => ({
  mesh,
  shift,
  moved: null,
  amp: 0,
});

test("numbers travel as little-endian base64", () => {
  expect([...floats(base64(new Float32Array([1.5, -2, 1e-3])))]).toEqual([1.5, -2, Math.fround(1e-3)]);
  expect(floats(undefined).length).toBe(0);
});

test("solids of a body are merged where they stand, and can be cut out again", () => {
  const [zero, one] = new Workshop().assemble(
    [solid("a", 0, [0, 0, 0]), solid("b", 1, [5, 0, 0]), solid("c", 0, [0, 3, 0])],
    [cube],
  );
  expect([zero!.pieces.map((p) => p.solid.id), one!.pieces.map((p) => p.solid.id)]).toEqual([["a", "c"], ["b"]]);
  expect(zero!.box).toEqual({ min: [0, 0, 0], max: [1, 4, 1] });
  const c = only(zero!, new Set(["c"]))!;
  expect(c.positions.length).toBe(12 * 9);
  expect(Math.min(...c.positions.filter((_, i) => i % 3 === 1))).toBe(3);
  expect(only(zero!, new Set(["b"]))).toBeNull();
});

test("a mesh that comes again is not prepared again", () => {
  const shop = new Workshop();
  const a = shop.assemble([solid("a", 0, [0, 0, 0])], [cube]);
  const b = shop.assemble([solid("a", 0, [0, 0, 2])], [{ ...cube }]);
  expect(b[0]!.box.max[2] - a[0]!.box.max[2]).toBe(2);
});

test("the nearest part is picked; what is cut away is not; a moved body is where it stands", () => {
  const [body] = new Workshop().assemble([solid("near", 0, [0, -3, 0]), solid("far", 0, [0, 3, 0])], [cube]);
  const ray = { origin: [0.5, -50, 0.5] as Vec3, direction: [0, 1, 0] as Vec3 };
  expect(pick(ray, [still(body!)], null)?.solid.id).toBe("near");
  expect(pick(ray, [still(body!)], { normal: [0, -1, 0], at: 1.5 })?.solid.id).toBe("far"); // y < -1.5 is gone
  expect(pick(ray, [still(body!, [0, 0, 4])], null)).toBeNull();
  expect(pick({ ...ray, origin: [0.5, -50, 4.5] }, [still(body!, [0, 0, 4])], null)?.at[1]).toBeCloseTo(-3);
});

test("bodies add up the axes that move them", () => {
  const axis = (id: string, dir: Vec3) => ({
    id,
    dir,
    side: dir,
    normal: dir,
    travel: 2,
    over: [0, 2] as [number, number],
    used: [0, 2] as [number, number],
  });
  const scene = {
    axes: [axis("x", [1, 0, 0]), axis("z", [0, 0, -1])],
    bodies: [
      { index: 0, moved_by: null, parent: null },
      { index: 1, moved_by: "x", parent: 0 },
      { index: 2, moved_by: "z", parent: 1 },
    ],
    tool_point: [1, 2, 3] as Vec3,
  };
  const at = shifts(scene, [0.5, 0.25]);
  expect([at.get(0), at.get(1), at.get(2)]).toEqual([
    [0, 0, 0],
    [0.5, 0, 0],
    [0.5, 0, -0.25],
  ]);
  expect(toolAt(scene, [0.5, 0.25])).toEqual([1.5, 2, 2.75]);
});

test("a shape is drawn a round number of times too large", () => {
  expect([1, 1.99, 2, 4.99, 5, 9.9, 10, 0.03, 0].map(roundDown)).toEqual([1, 1, 2, 2, 5, 5, 10, 0.02, 0]);
  for (const largest of [1e-6, 3.7e-4, 2e-3, 0.5]) {
    const f = exaggeration(largest, 5);
    expect(f * largest <= 0.3 * 1.0001 || f === 1).toBe(true); // 6 % of 5 m
    expect([1, 2, 5]).toContain(Number(f.toExponential().split("e")[0]));
  }
  expect(exaggeration(0, 5)).toBe(1);
  expect(scaleChoices(200)).toContain(200);
  expect(tooLarge(200)).toBe("drawn 200 times too large");
  expect(ticks(0, 10)).toEqual([0, 2, 4, 6, 8, 10]);
});

test("sizes stand outside the machine, once each", () => {
  const box = { min: [-2, -1, 0] as Vec3, max: [2, 1, 2] as Vec3 };
  expect(outward([-2, -1, 0], [2, -1, 0], box)).toEqual([0, -1, 0]);
  expect(outward([2, -1, 0], [2, 1, 0], box)).toEqual([1, 0, 0]);
  const dims: Scene["dims"] = [
    { name: "stand along x", from: [-2, -1, 0], to: [2, -1, 0], value_m: 4, text: "4 m" },
    { name: "machine along x", from: [-2, -1, 0], to: [2, -1, 0], value_m: 4, text: "4 m" },
    { name: "travel x", from: [-1, 0, 1], to: [1, 0, 1], value_m: 2, text: "2 m" },
  ];
  const lines = sizeLines(dims, box);
  expect(lines.map((l) => l.label.text)).toEqual(["4 m", "x 2 m"]);
  expect(lines[0]!.label.at[1]).toBeLessThan(-1);
  expect(boxLines(box).length).toBe(12 * 6);
  expect(boxLines({ min: [0, 0, 0], max: [1, 0, 1] }).length % 6).toBe(0); // a flat one has no edges without length
});

test("lines at narrow gaps come last and are left out from afar", () => {
  const fine = new Float32Array([-0.008, 0.08, 0, -0.03, 10]);
  expect([...byNeed(fine)]).toEqual([1, 2, 4, 3, 0]);
  expect([needed(fine, 0), needed(fine, 100), needed(fine, 1000)]).toEqual([3, 4, 5]);
});

test("a sheet has two triangles a field", () => {
  expect(quads(3, 2)).toEqual([0, 1, 4, 0, 4, 3, 1, 2, 5, 1, 5, 4]);
});

test("parts are found by words, and by the first letters of any word of their name", () => {
  const scene = {
    axes: [],
    solids: [
      solid("leg.front.left", 0, [0, 0, 0]),
      solid("leg.rear.left", 0, [0, 0, 0]),
      solid("x.motor.plus", 0, [0, 0, 0], { group: "x", thing: "motor", part: "servo-1" }),
      solid("x.motor.plus.flange", 0, [0, 0, 0], { group: "x", thing: "motor", of: "x.motor.plus" }),
    ],
  };
  expect(rowsOf(scene, "").map((r) => r.solid.id)).toEqual(["leg.front.left", "leg.rear.left", "x.motor.plus"]);
  expect(rowsOf(scene, "servo").map((r) => r.solid.id)).toEqual(["x.motor.plus"]);
  const rows = rowsOf(scene, "");
  expect(typed(rows, 0, "mo")).toBe(2);
  expect(typed(rows, 0, "l")).toBe(1); // one letter goes on to the next
  expect(typed(rows, 1, "q")).toBe(1);
});

test("one request runs, the newest of those that wait comes next, the rest are dropped", async () => {
  const latest = new Latest();
  const made: number[] = [];
  const took: number[] = [];
  let most = 0;
  let running = 0;
  for (let i = 0; i < 5; i++)
    latest.ask(
      async () => {
        made.push(i);
        most = Math.max(most, ++running);
        await new Promise((r) => setTimeout(r, 5));
        running--;
        return i;
      },
      (v) => took.push(v),
    );
  await expect.poll(() => took).toEqual([0, 4]);
  expect([made, most]).toEqual([[0, 4], 1]);
});

test("an answer that comes after the end is not shown, and a failed one does not block the next", async () => {
  const latest = new Latest();
  const heard: string[] = [];
  latest.ask(
    () => Promise.reject(new Error("no")),
    () => heard.push("answer"),
    () => heard.push("failed"),
  );
  latest.ask(
    () => Promise.resolve(),
    () => heard.push("second"),
  );
  await expect.poll(() => heard).toEqual(["failed", "second"]);
  latest.ask(
    () => Promise.resolve(),
    () => heard.push("late"),
  );
  latest.stop();
  await new Promise((r) => setTimeout(r, 5));
  expect(heard).toEqual(["failed", "second"]);
});

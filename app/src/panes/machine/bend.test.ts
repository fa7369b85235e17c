import { expect, test } from "vitest";
import type { Member, Shape, Vec3 } from "../../api/types";
import { Bent, hold } from "./bend";

const base64 = (list: number[]) => Buffer.from(new Float32Array(list).buffer).toString("base64");
const member = (id: string, from: Vec3, to: Vec3, solid: string, body = 0): Member => ({
  id,
  body,
  from,
  to,
  group: "",
  solid,
  path: "",
});

/** a beam of 2 m along x in two members, its free end turned down: u = (0, 0, -k x²). */
const k = 0.01;
const members = [member("beam.1", [0, 0, 1], [1, 0, 1], "beam"), member("beam.2", [1, 0, 1], [2, 0, 1], "beam")];
function line(from: number): { points: string; moved: string } {
  const points: number[] = [];
  const moved: number[] = [];
  for (let i = 0; i <= 16; i++) {
    const x = from + i / 16;
    points.push(x, 0, 1);
    moved.push(0, 0, -k * x * x);
  }
  return { points: base64(points), moved: base64(moved) };
}
const shape: Shape = {
  members: [
    { id: "beam.1", ...line(0) },
    { id: "beam.2", ...line(1) },
  ],
  bodies: [{ index: 1, at: [2, 0, 2], u: [0.001, 0, -0.002], r: [0, 0.003, 0] }],
  tool: { at: [2, 0, 1], u: [0, 0, -4 * k] },
  largest: 4 * k,
};

test("a corner of a beam moves with the nearest place of its line and turns with its slope", () => {
  const points = new Float32Array([1.5, 0.04, 1, 1.5, 0, 1.04]);
  const held = hold(points, [{ solid: "beam", from: 0, to: 2 }], members, 0);
  const out = new Float32Array(6);
  new Bent(shape, members).moved(points, held, 0, [0, 0, 0], out);
  const sag = -k * 1.5 * 1.5;
  const slope = -2 * k * 1.5;
  expect(out[2]).toBeCloseTo(sag, 6);
  expect(out[0]).toBeCloseTo(0, 9); // beside the line: no turn about the line
  expect(out[5]).toBeCloseTo(sag, 6);
  expect(out[3]).toBeCloseTo(-slope * 0.04, 5); // above the line: its top leans towards the end that sinks
});

test("a part beyond the end of a beam follows the end, straight on", () => {
  const points = new Float32Array([2.5, 0, 1]);
  const held = hold(points, [{ solid: "tool", from: 0, to: 1 }], members, 0);
  const out = new Float32Array(3);
  new Bent(shape, members).moved(points, held, 0, [0, 0, 0], out);
  // the slope at the very end is taken over the last sixteenth of the member, so it is a little less
  expect(out[2]).toBeCloseTo(-4 * k - 0.5 * 4 * k, 2);
});

test("what has no member near moves rigidly with its carriage, wherever the carriage stands", () => {
  const points = new Float32Array([0, 0, 3]);
  const held = hold(points, [{ solid: "plate", from: 0, to: 1 }], members, 1);
  expect(held.member[0]).toBe(-1);
  const out = new Float32Array(3);
  new Bent(shape, members).moved(points, held, 1, [2, 0, 0], out); // stands 1 m above the place that is known
  expect(out[0]).toBeCloseTo(0.001 + 0.003, 7);
  expect(out[2]).toBeCloseTo(-0.002, 7);
});

test("a body that nothing is known of stays", () => {
  const out = new Float32Array([9, 9, 9]);
  const held = hold(new Float32Array([0, 0, 0]), [{ solid: "x", from: 0, to: 1 }], members, 7);
  new Bent(shape, members).moved(new Float32Array(3), held, 7, [0, 0, 0], out);
  expect([...out]).toEqual([0, 0, 0]);
});

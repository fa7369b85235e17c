import { expect, test } from "vitest";
import { edgesOf, facets } from "./edges";

/** prism draws out a convex or grooved outline along z; counter-clockwise, fanned from given triangles. */
function prism(outline: [number, number][], caps: [number, number, number][], length: number) {
  const n = outline.length;
  const positions = new Float32Array([
    ...outline.flatMap(([x, y]) => [x, y, 0]),
    ...outline.flatMap(([x, y]) => [x, y, length]),
  ]);
  const triangles: number[] = [];
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    triangles.push(i, j, n + j, i, n + j, n + i);
  }
  for (const [a, b, c] of caps) triangles.push(a, c, b, n + a, n + b, n + c);
  return { positions, triangles: new Uint32Array(triangles) };
}

const along = (outline: [number, number][], length: number, of: number[]) =>
  new Float32Array(of.flatMap((i) => [...outline[i]!, 0, ...outline[i]!, length]));

const square: [number, number][] = [
  [0, 0],
  [0.08, 0],
  [0.08, 0.08],
  [0, 0.08],
];

test("facets of a box look outwards", () => {
  const { positions, triangles } = prism(
    square,
    [
      [0, 1, 2],
      [0, 2, 3],
    ],
    1,
  );
  const n = facets(positions, triangles);
  expect([...n.subarray(0, 3)].map((v) => Math.round(v))).toEqual([0, -1, 0]);
  expect([...n.subarray(n.length - 3)].map((v) => Math.round(v))).toEqual([0, 0, 1]);
});

test("marked edges of a box are drawn once, flat diagonals not at all", () => {
  const { positions, triangles } = prism(
    square,
    [
      [0, 1, 2],
      [0, 2, 3],
    ],
    1,
  );
  const e = edgesOf(positions, triangles, along(square, 1, [0, 1, 2, 3]));
  expect(e.fine.length).toBe(12); // four marked, eight round the ends that are outlines at most
  const marked = [...e.fine].filter((f) => f !== 0);
  expect(marked.length).toBe(4);
  for (const f of marked) expect(f).toBeCloseTo(0.08, 6); // the next one is a side away
  for (let i = 0; i < 4; i++) expect(Math.hypot(...e.normals.subarray(6 * i, 6 * i + 3))).toBeCloseTo(1);
});

test("facets of a round bar are outlines only", () => {
  const n = 24;
  const ring = Array.from({ length: n }, (_, i): [number, number] => [
    0.03 * Math.cos((2 * Math.PI * i) / n),
    0.03 * Math.sin((2 * Math.PI * i) / n),
  ]);
  const fan = Array.from({ length: n - 2 }, (_, i): [number, number, number] => [0, i + 1, i + 2]);
  const { positions, triangles } = prism(ring, fan, 0.2);
  const e = edgesOf(positions, triangles, new Float32Array(0));
  expect(e.fine.length).toBe(3 * n);
  expect([...e.fine].every((f) => f === 0)).toBe(true);
});

test("the lips of a slot give way, the corners of the profile stay", () => {
  // a square of 40 with a slot of 8, 10 deep, in its lower side
  const grooved: [number, number][] = [
    [0, 0],
    [0.016, 0],
    [0.016, 0.01],
    [0.024, 0.01],
    [0.024, 0],
    [0.04, 0],
    [0.04, 0.04],
    [0, 0.04],
  ];
  const caps: [number, number, number][] = [
    [0, 1, 2],
    [0, 2, 7],
    [2, 3, 7],
    [3, 6, 7],
    [3, 4, 5],
    [3, 5, 6],
  ];
  const { positions, triangles } = prism(grooved, caps, 1);
  const e = edgesOf(positions, triangles, along(grooved, 1, [0, 1, 4, 5, 6, 7]));
  const at = (x: number, y: number) => {
    for (let i = 0; i < e.fine.length; i++)
      if (
        Math.hypot(e.ends[6 * i]! - x, e.ends[6 * i + 1]! - y) < 1e-6 &&
        Math.abs(e.ends[6 * i + 5]! - e.ends[6 * i + 2]!) > 0.9
      )
        return e.fine[i];
    return undefined;
  };
  expect(at(0.016, 0)).toBeCloseTo(-0.008, 6);
  expect(at(0.024, 0)).toBeCloseTo(-0.008, 6);
  for (const [x, y] of [
    [0, 0],
    [0.04, 0],
    [0.04, 0.04],
  ] as const)
    expect(at(x, y)).toBeCloseTo(0.04, 6); // measured to the other corners, not to the lips
  expect(at(0.016, 0.01)).toBeUndefined(); // the bottom of the slot bends inwards
});

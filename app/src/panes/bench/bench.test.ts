import { expect, test } from "vitest";
import type { Cycle, FineMap, Leg, MapPoint } from "../../api/types";
import { before, legAt, nextLeg, sample } from "./cycle/playing";
import { plotsOf, settlePlot } from "./cycle/plots";
import { slowed } from "./modes/slowed";
import { hex, lightness, onRamp, ramp } from "./ramp";
import { barsOf, leftOver } from "./split/bars";
import { amount, bands, cells, fineEnds, indexOf, part, planeOf, planes, textOf } from "./workspace/grid";

/** luminance by WCAG 2.2, relative, of #rrggbb. */
function luminance(colour: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const v = Number.parseInt(colour.slice(i, i + 2), 16) / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

const contrast = (a: string, b: string) => {
  const [x, y] = [luminance(a), luminance(b)].sort((p, q) => q - p) as [number, number];
  return (x + 0.05) / (y + 0.05);
};

test("white, black and grey come out of the conversion", () => {
  expect([hex(1, 0, 0), hex(0, 0, 0)]).toEqual(["#ffffff", "#000000"]);
  const grey = hex(0.6, 0, 0);
  expect(new Set([grey.slice(1, 3), grey.slice(3, 5), grey.slice(5, 7)]).size).toBe(1);
});

test("more is always darker on light paper and lighter on dark", () => {
  for (const [scheme, sign] of [
    ["light", -1],
    ["dark", 1],
  ] as const) {
    const steps = Array.from({ length: 33 }, (_, i) => i / 32);
    for (let i = 1; i < steps.length; i++) {
      expect(sign * (lightness(steps[i]!, scheme) - lightness(steps[i - 1]!, scheme))).toBeGreaterThan(0);
      expect(sign * (luminance(ramp(steps[i]!, scheme)) - luminance(ramp(steps[i - 1]!, scheme)))).toBeGreaterThan(0);
    }
    expect(contrast(ramp(0, scheme), ramp(1, scheme))).toBeGreaterThan(4);
  }
  expect(ramp(Number.NaN, "light")).toBe(ramp(0, "light"));
  expect(ramp(7, "light")).toBe(ramp(1, "light"));
});

test("numbers on the ramp can be read everywhere (WCAG 2.2, 1.4.3: 4.5 to 1)", () => {
  for (const scheme of ["light", "dark"] as const)
    for (let s = 0; s <= 1.0001; s += 0.02) expect(contrast(ramp(s, scheme), onRamp(s, scheme))).toBeGreaterThan(4.5);
});

const point = (q: number[]): MapPoint => ({
  q,
  at: [0, 0, 0],
  sag: q[0]! + 10 * q[1]! + 100 * (q[2] ?? 0),
  u: [1, 2, 3],
  hz: 5,
  text: { sag: "s", u: ["ux", "uy", "uz"], hz: "h" },
});
const counts = [3, 2, 2];
const values = Array.from({ length: 12 }, (_, i) => point([Math.floor(i / 4), Math.floor(i / 2) % 2, i % 2]));

test("a plane of the map has every place once, row by row from below", () => {
  expect(indexOf(counts, [2, 1, 0])).toBe(10);
  expect(planes(3)).toEqual([
    [0, 1],
    [0, 2],
    [1, 2],
  ]);
  const plane = { ...planeOf({ counts }), fixed: [0, 1, 0] };
  const list = cells({ counts, values }, plane);
  expect(list.map((c) => c.point.q)).toEqual([
    [0, 1, 0],
    [1, 1, 0],
    [2, 1, 0],
    [0, 1, 1],
    [1, 1, 1],
    [2, 1, 1],
  ]);
  expect(list.every((c) => values[c.index] === c.point)).toBe(true);
});

test("bands meet half way between places and end with the travel", () => {
  expect(bands(3, 4)).toEqual([0, 1, 3, 4]);
  expect(bands(1, 4)).toEqual([0, 4]);
});

test("what is shown is what is asked for", () => {
  const p = values[7]!;
  expect([amount(p, "sag"), amount(p, "hz"), amount(p, "y")]).toEqual([p.sag, 5, 2]);
  expect([textOf(p, "sag"), textOf(p, "hz"), textOf(p, "z")]).toEqual(["s", "h", "uz"]);
  expect([part(3, 1, 5), part(3, 3, 3)]).toEqual([0.5, 0]);
  const fine = {
    sag: [3, 1, 2],
    u: [
      [0, 0, 7],
      [0, 0, 9],
      [0, 0, 8],
    ],
  } as unknown as FineMap;
  expect([fineEnds(fine, "sag"), fineEnds(fine, "z")]).toEqual([
    [1, 3],
    [7, 9],
  ]);
});

const leg = (name: string, start: number, end: number, loaded = false): Leg => ({
  name,
  from: "",
  to: "",
  start,
  end,
  until: end,
  loaded,
  settle_s: 0,
  settles: false,
  path: "",
});
const cycle = {
  duration: 3,
  legs: [leg("1 a", 0, 1), leg("2 b", 1.5, 2.5, true)],
  t: [0, 1, 1, 3],
  axes: [
    {
      id: "x",
      unit: "m",
      q: [0, 1, 1, 3],
      v: [1, 1, 1, 1],
      a: [0, 0, 5, 5],
      force: [1, null, 2, 3],
      limits: { v: 2, a: 6, force: null },
      force_peak: 3,
      force_rms: 2,
    },
  ],
  settle: [],
} as unknown as Cycle;

test("curves are read between their points, and jump where they jump", () => {
  const a = cycle.axes[0]!;
  expect([-1, 0, 0.5, 1, 2, 9].map((t) => sample(cycle.t, a.q, t))).toEqual([0, 0, 0.5, 1, 2, 3]);
  expect([sample(cycle.t, a.a, 0.999), sample(cycle.t, a.a, 1)]).toEqual([0, 5]);
  expect(sample(cycle.t, a.force, 0.5)).toBe(1); // the next point is not known
  expect(before([0, 1, 1, 3], 1)).toBe(2);
});

test("steps are found by time and gone through one by one", () => {
  expect([-0.1, 0, 1.2, 1.5, 3].map((t) => legAt(cycle.legs, t))).toEqual([-1, 0, 0, 1, 1]);
  expect([nextLeg(cycle, 0, 1), nextLeg(cycle, 2, 1), nextLeg(cycle, 2, -1), nextLeg(cycle, 1.51, -1)]).toEqual([
    1.5, 3, 1.5, 0,
  ]);
});

test("limits stand on the curves of one axis, not on those of all", () => {
  expect(plotsOf(cycle, "").flatMap((p) => p.levels)).toEqual([]);
  const one = plotsOf(cycle, "x");
  expect(one.map((p) => p.levels.map((l) => l.value))).toEqual([[], [2, -2], [6, -6], [2]]);
});

test("the settle chart has both envelopes and both edges of the band, in mm", () => {
  const p = settlePlot({
    leg: 0,
    name: "1 a",
    t: [0, 1],
    envelope: [0.002, 0.001],
    swing: [0.002, -0.001],
    along: [1, 0, 0],
    band: 0.0015,
    time: 0.5,
    time_text: "0.5 s",
    ok: true,
  });
  expect(p.lines.map((l) => l.values)).toEqual([
    [2, -1],
    [2, 1],
    [-2, -1],
  ]);
  expect(p.levels.map((l) => l.value)).toEqual([1.5, -1.5]);
});

test("bars start at zero whatever their sign, and it is said how far they add up", () => {
  const shares = [
    { id: "a", group: "g", value: 3, percent: 150, text: "3", part: "", solids: [], path: "" },
    { id: "b", group: "h", value: -1, percent: -50, text: "-1", part: "", solids: [], path: "" },
  ];
  const groups = [
    { group: "g", value: 3, percent: 150, text: "3" },
    { group: "h", value: -1, percent: -50, text: "-1" },
  ];
  const { groups: rows, span } = barsOf({ shares, groups });
  expect(span).toEqual([-50, 150]);
  expect(rows.map((g) => g.shares.map((s) => s.id))).toEqual([["a"], ["b"]]);
  expect(leftOver({ residual: 1e-12, total: 2, shares })).toContain("sum of the 2 shares");
  expect(leftOver({ residual: 0.2, total: 2, shares })).toContain("10 %");
});

test("it is said how much slower the drawing swings", () => {
  expect(slowed(6.37, 0.7)).toBe("9.1 times slower than the machine");
  expect(slowed(0.7, 0.7)).toBe("as fast as the machine");
});

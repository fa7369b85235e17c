import { expect, test } from "vitest";
import type { Vec3 } from "../../api/types";
import { between, type Camera, fit, looking, orbit, pan, projector, rayAt, viewName, zoom } from "./camera";
import { add, type Box, corners, cross, norm, sub, times, unit } from "./vec";

const size = { width: 800, height: 500 };
const start: Camera = { target: [0.3, -0.2, 1.1], azimuth: -0.6, elevation: 0.4, span: 4, perspective: true };
const both = [true, false].map((perspective) => ({ ...start, perspective }));

test("from the front X lies to the right and Z up; from above Y is up", () => {
  const front = projector({ ...looking("front", start), target: [0, 0, 0], perspective: false }, size);
  const [o, x, z] = [front([0, 0, 0]), front([1, 0, 0]), front([0, 0, 1])];
  expect([x.x > o.x, Math.abs(x.y - o.y) < 1e-9, z.y < o.y, Math.abs(z.x - o.x) < 1e-9]).toEqual([
    true,
    true,
    true,
    true,
  ]);
  const above = projector({ ...looking("top", start), target: [0, 0, 0], perspective: false }, size);
  expect(above([0, 1, 0]).y).toBeLessThan(above([0, 0, 0]).y);
});

test("a line of sight leads back to the place in the picture it was taken from", () => {
  for (const c of both) {
    const to = projector(c, size);
    for (const [x, y] of [
      [100, 80],
      [400, 250],
      [700, 430],
    ] as const) {
      const ray = rayAt(c, size, x, y);
      const from = c.perspective ? 3 : 999;
      const p = add(ray.origin, times(from / norm(ray.direction), ray.direction));
      const spot = to(p);
      expect(spot.x).toBeCloseTo(x, 4);
      expect(spot.y).toBeCloseTo(y, 4);
    }
  }
});

test("the whole box is in the picture and nearly fills it", () => {
  const box: Box = { min: [-2.5, -1.2, 0], max: [2.9, 1.4, 2.5] };
  for (const c of both)
    for (const shape of [size, { width: 300, height: 900 }, { width: 2000, height: 300 }]) {
      const spots = corners(box).map(projector(fit(c, shape, box), shape));
      const [left, right] = [Math.min(...spots.map((s) => s.x)), Math.max(...spots.map((s) => s.x))];
      const [top, bottom] = [Math.min(...spots.map((s) => s.y)), Math.max(...spots.map((s) => s.y))];
      expect(left).toBeGreaterThan(0);
      expect(top).toBeGreaterThan(0);
      expect(right).toBeLessThan(shape.width);
      expect(bottom).toBeLessThan(shape.height);
      const used = Math.max((right - left) / shape.width, (bottom - top) / shape.height);
      expect(used).toBeGreaterThan(0.88); // the margin is 4 % on each side, and of a few per cent in perspective
    }
});

test("magnifying keeps what is under the pointer where it is", () => {
  // in the plane of the target; nearer and farther things move in perspective
  for (const c of both) {
    const at: Vec3 = add(
      c.target,
      unit(cross(sub([0, 0, 1], [0, 0, 0]), [Math.sin(c.azimuth), -Math.cos(c.azimuth), 0])),
    );
    const before = projector(c, size)(at);
    const after = projector(zoom(c, size, 2.5, before.x, before.y), size)(at);
    expect(after.x).toBeCloseTo(before.x, 6);
    expect(after.y).toBeCloseTo(before.y, 6);
  }
});

test("moving by pixels moves the target by pixels", () => {
  const before = projector(start, size)(start.target);
  const after = projector(pan(start, size, 30, -20), size)(start.target);
  expect([after.x - before.x, after.y - before.y].map(Math.round)).toEqual([30, -20]);
});

test("turning does not go over the top", () => {
  expect(orbit(start, 0, 9).elevation).toBeCloseTo(Math.PI / 2);
  expect(orbit(start, 0, -9).elevation).toBeCloseTo(-Math.PI / 2);
});

test("a standard view is known by its name, whole turns apart too", () => {
  expect(viewName({ ...looking("side", start), azimuth: Math.PI / 2 + 2 * Math.PI })).toBe("side");
  expect(viewName({ ...start, azimuth: 0.1 })).toBeNull();
});

test("the way between two cameras takes the shorter turn", () => {
  const mid = between({ ...start, azimuth: 3.1 }, { ...start, azimuth: -3.1 }, 0.5);
  expect(Math.abs(Math.cos(mid.azimuth) + 1)).toBeLessThan(1e-6); // straight behind, not through the front
});

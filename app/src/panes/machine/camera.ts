// Where the eye is and what it sees, without any graphics library: the same
// numbers place the picture, its labels and the drawing that stands in for it.

import type { Vec3 } from "../../api/types";
import { add, type Box, corners, cross, dot, middle, sub, times } from "./vec";

/**
 * Camera looks at target from a direction given by two angles, rad. At azimuth
 * 0 and elevation 0 it looks along +Y with X to the right and Z up; azimuth
 * turns the eye towards +X, elevation lifts it. span is the height of what is
 * seen at the target, m.
 */
export interface Camera {
  target: Vec3;
  azimuth: number;
  elevation: number;
  span: number;
  perspective: boolean;
}

/** Size is that of the picture, px. */
export interface Size {
  width: number;
  height: number;
}

/** The angle of view upwards, rad; a choice: near enough to show depth, far enough to keep plumb lines plumb. */
export const fieldOfView = (26 * Math.PI) / 180;

export type ViewName = "front" | "side" | "top" | "corner";

const views: Record<ViewName, [azimuth: number, elevation: number]> = {
  front: [0, 0],
  side: [Math.PI / 2, 0],
  top: [0, Math.PI / 2],
  corner: [-0.62, 0.36],
};

export function looking(name: ViewName, from: Camera): Camera {
  const [azimuth, elevation] = views[name];
  return { ...from, azimuth, elevation };
}

/** viewName names the standard view that the camera has, if any. */
export function viewName(c: Camera): ViewName | null {
  for (const [name, [azimuth, elevation]] of Object.entries(views)) {
    const turn = Math.abs(((c.azimuth - azimuth + 3 * Math.PI) % (2 * Math.PI)) - Math.PI);
    if (turn < 1e-3 && Math.abs(c.elevation - elevation) < 1e-3) return name as ViewName;
  }
  return null;
}

export interface Basis {
  right: Vec3;
  up: Vec3;
  /** from the target to the eye */
  back: Vec3;
}

export function basis(c: Camera): Basis {
  const ce = Math.cos(c.elevation);
  const back: Vec3 = [Math.sin(c.azimuth) * ce, -Math.cos(c.azimuth) * ce, Math.sin(c.elevation)];
  const right: Vec3 = [Math.cos(c.azimuth), Math.sin(c.azimuth), 0];
  return { right, up: cross(back, right), back };
}

/** distance from the eye to the target, m. */
export const distance = (c: Camera): number => c.span / 2 / Math.tan(fieldOfView / 2);

export const eye = (c: Camera): Vec3 => add(c.target, times(distance(c), basis(c).back));

/** A point in the picture: px from its upper left corner, and how near to the eye, m from the target. */
export interface Spot {
  x: number;
  y: number;
  near: number;
  /** behind the eye */
  behind: boolean;
}

/** projector returns the function that puts points of the world into the picture. */
export function projector(c: Camera, size: Size): (p: Vec3) => Spot {
  const { right, up, back } = basis(c);
  const perMetre = size.height / c.span;
  const d = distance(c);
  return (p) => {
    const v = sub(p, c.target);
    const near = dot(v, back);
    const behind = c.perspective && near >= d * 0.999;
    const k = (c.perspective ? d / Math.max(d - near, d * 1e-3) : 1) * perMetre;
    return { x: size.width / 2 + dot(v, right) * k, y: size.height / 2 - dot(v, up) * k, near, behind };
  };
}

export interface Ray {
  origin: Vec3;
  direction: Vec3;
}

/** rayAt is the line of sight through a point of the picture. */
export function rayAt(c: Camera, size: Size, x: number, y: number): Ray {
  const { right, up, back } = basis(c);
  const k = c.span / size.height;
  const onTarget = add(c.target, add(times((x - size.width / 2) * k, right), times((size.height / 2 - y) * k, up)));
  if (c.perspective) {
    const from = eye(c);
    return { origin: from, direction: sub(onTarget, from) };
  }
  return { origin: add(onTarget, times(1e3, back)), direction: times(-1, back) };
}

export function orbit(c: Camera, turn: number, lift: number): Camera {
  const elevation = Math.min(Math.PI / 2, Math.max(-Math.PI / 2, c.elevation + lift));
  return { ...c, azimuth: c.azimuth + turn, elevation };
}

/** pan moves the picture by px. */
export function pan(c: Camera, size: Size, dx: number, dy: number): Camera {
  const { right, up } = basis(c);
  const k = c.span / size.height;
  return { ...c, target: add(c.target, add(times(-dx * k, right), times(dy * k, up))) };
}

/** zoom magnifies by factor and keeps what is under (x, y) where it is. */
export function zoom(c: Camera, size: Size, factor: number, x = size.width / 2, y = size.height / 2): Camera {
  const span = Math.min(500, Math.max(0.01, c.span / factor));
  const moved = pan(c, size, (size.width / 2 - x) * (1 - span / c.span), (size.height / 2 - y) * (1 - span / c.span));
  return { ...moved, span };
}

/** fit shows the whole box with a margin, from the same direction. */
export function fit(c: Camera, size: Size, box: Box, margin = 0.04): Camera {
  let out: Camera = { ...c, target: middle(box), span: c.span };
  const points = corners(box);
  const aspect = size.width / size.height;
  // In perspective the near corners grow with the span, so a few rounds are needed.
  for (let round = 0; round < 12; round++) {
    const to = projector(out, { width: aspect, height: 1 });
    const spots = points.map(to);
    const xs = spots.map((s) => s.x);
    const ys = spots.map((s) => s.y);
    const [left, right] = [Math.min(...xs), Math.max(...xs)];
    const [top, bottom] = [Math.min(...ys), Math.max(...ys)];
    const need = Math.max((right - left) / aspect, bottom - top) * (1 + 2 * margin);
    if (!(need > 0)) break;
    out = pan(out, { width: aspect, height: 1 }, aspect / 2 - (left + right) / 2, 0.5 - (top + bottom) / 2);
    out = { ...out, span: out.span * need };
    if (Math.abs(need - 1) < 1e-3 && round > 1) break;
  }
  return out;
}

/** alike: both see the same, up to what the eye does not notice (2 % of the picture, a choice). */
export function alike(a: Camera, b: Camera): boolean {
  const near = (x: number, y: number) => Math.abs(x - y) <= 0.02 * b.span;
  return near(a.span, b.span) && a.target.every((v, i) => near(v, b.target[i]!));
}

/** between is the camera on the way from a to b; s from 0 to 1. */
export function between(a: Camera, b: Camera, s: number): Camera {
  const turn = ((b.azimuth - a.azimuth + 3 * Math.PI) % (2 * Math.PI)) - Math.PI;
  const mix = (from: number, to: number) => from + (to - from) * s;
  return {
    target: [mix(a.target[0], b.target[0]), mix(a.target[1], b.target[1]), mix(a.target[2], b.target[2])],
    azimuth: a.azimuth + turn * s,
    elevation: mix(a.elevation, b.elevation),
    span: a.span * (b.span / a.span) ** s,
    perspective: b.perspective,
  };
}

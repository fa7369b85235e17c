// How the drawn solids take part in a deformed shape. The shape comes from the
// server: movements of points along the members, and of the carriages. A corner
// of a solid follows the nearest member of its body, and turns with the slope
// of that member; where its body has none near, it follows the carriage.

import type { Member, Shape, Vec3 } from "../../api/types";
import { floats } from "./decode";
import { cross, dot, sub, times, unit } from "./vec";

/** Beyond this distance a corner does not belong to a member any more, m. A choice. */
const reach = 0.6;

/** Hold ties corners to members: for each corner the member (index, -1: the body) and the place along it. */
export interface Hold {
  member: Int32Array;
  along: Float32Array; // 0 to 1
  off: Float32Array; // 3 each: from the member's line to the corner, m
}

interface Line {
  index: number;
  from: Vec3;
  x: Vec3;
  length: number;
}

/** bars groups the members of a body by the physical bar they are pieces of. */
function barsOf(members: readonly Member[], body: number): Map<string, Line[]> {
  const out = new Map<string, Line[]>();
  members.forEach((m, index) => {
    if (m.body !== body) return;
    const v = sub(m.to, m.from);
    const line = { index, from: m.from, x: unit(v), length: Math.hypot(...v) };
    const bar = m.solid || m.id;
    const list = out.get(bar);
    if (list) list.push(line);
    else out.set(bar, [line]);
  });
  return out;
}

/** Stretch is a run of points that belong to one solid, by its id. */
export interface Stretch {
  solid: string;
  from: number;
  to: number;
}

/**
 * hold ties each point (3 numbers, at home) to a member. The points of a bar are
 * tied to its own members; those of anything else all to one bar, the nearest of
 * the body, so that nothing is torn apart.
 */
export function hold(points: Float32Array, stretches: Stretch[], members: readonly Member[], body: number): Hold {
  const n = points.length / 3;
  const out: Hold = { member: new Int32Array(n).fill(-1), along: new Float32Array(n), off: new Float32Array(3 * n) };
  const bars = barsOf(members, body);
  for (const { solid, from, to } of stretches) {
    const lines = bars.get(solid) ?? nearest(points, from, to, bars);
    if (!lines) continue;
    for (let i = from; i < to; i++) tie(out, points, i, closest(points, i, lines).line);
  }
  return out;
}

function closest(points: Float32Array, i: number, lines: Line[]): { line: Line; away: number } {
  let best = { line: lines[0]!, away: awayFrom(points, i, lines[0]!) };
  for (const line of lines) {
    const away = awayFrom(points, i, line);
    if (away < best.away) best = { line, away };
  }
  return best;
}

function nearest(points: Float32Array, from: number, to: number, bars: Map<string, Line[]>): Line[] | null {
  let best: Line[] | null = null;
  let least = reach;
  const step = Math.max(1, Math.floor((to - from) / 12));
  for (const lines of bars.values()) {
    let sum = 0;
    let count = 0;
    for (let i = from; i < to; i += step, count++) sum += closest(points, i, lines).away;
    if (sum / Math.max(1, count) < least) {
      least = sum / count;
      best = lines;
    }
  }
  return best;
}

function place(points: Float32Array, i: number, line: Line): number {
  const v: Vec3 = [points[3 * i]! - line.from[0], points[3 * i + 1]! - line.from[1], points[3 * i + 2]! - line.from[2]];
  return line.length > 0 ? Math.min(1, Math.max(0, dot(v, line.x) / line.length)) : 0;
}

function offset(points: Float32Array, i: number, line: Line, s: number): Vec3 {
  const k = s * line.length;
  return [
    points[3 * i]! - line.from[0] - k * line.x[0],
    points[3 * i + 1]! - line.from[1] - k * line.x[1],
    points[3 * i + 2]! - line.from[2] - k * line.x[2],
  ];
}

const awayFrom = (points: Float32Array, i: number, line: Line): number =>
  Math.hypot(...offset(points, i, line, place(points, i, line)));

function tie(out: Hold, points: Float32Array, i: number, line: Line): void {
  const s = place(points, i, line);
  out.member[i] = line.index;
  out.along[i] = s;
  out.off.set(offset(points, i, line, s), 3 * i);
}

/** Track is the movement along one member: where (0 to 1), how much (m), how much it turns (rad). */
interface Track {
  at: Float32Array;
  u: Float32Array;
  turn: Float32Array;
}

/** Bent answers how any tied point moves in a shape. */
export class Bent {
  private tracks: (Track | null)[];
  private bodies: Map<number, Shape["bodies"]>;

  constructor(shape: Shape, members: readonly Member[]) {
    const byId = new Map(shape.members.map((m) => [m.id, m]));
    this.tracks = members.map((m) => {
      const s = byId.get(m.id);
      return s ? track(floats(s.points), floats(s.moved), m) : null;
    });
    this.bodies = new Map();
    for (const b of shape.bodies) this.bodies.set(b.index, [...(this.bodies.get(b.index) ?? []), b]);
  }

  /** moved writes the movement of each point, m; shift is how far the body stands from home. */
  moved(points: Float32Array, held: Hold, body: number, shift: Vec3, out: Float32Array): void {
    const rigid = this.bodies.get(body)?.[0];
    for (let i = 0; i < held.member.length; i++) {
      const t = held.member[i]! >= 0 ? this.tracks[held.member[i]!] : null;
      if (t) this.follow(t, held, i, out);
      else if (rigid) {
        const x = points[3 * i]! + shift[0] - rigid.at[0];
        const y = points[3 * i + 1]! + shift[1] - rigid.at[1];
        const z = points[3 * i + 2]! + shift[2] - rigid.at[2];
        out[3 * i] = rigid.u[0] + rigid.r[1] * z - rigid.r[2] * y;
        out[3 * i + 1] = rigid.u[1] + rigid.r[2] * x - rigid.r[0] * z;
        out[3 * i + 2] = rigid.u[2] + rigid.r[0] * y - rigid.r[1] * x;
      } else out.fill(0, 3 * i, 3 * i + 3);
    }
  }

  /** follow moves one point with its member; without any waste, for it runs for every corner drawn. */
  private follow(t: Track, held: Hold, i: number, out: Float32Array): void {
    const { at, u, turn } = t;
    const s = held.along[i]!;
    let k = 0;
    while (k < at.length - 2 && at[k + 1]! < s) k++;
    const a = at[k]!;
    const b = at[k + 1]!;
    const w = b > a ? Math.min(1, Math.max(0, (s - a) / (b - a))) : 0;
    const v = 1 - w;
    const j = 3 * k;
    const rx = turn[j]! * v + turn[j + 3]! * w;
    const ry = turn[j + 1]! * v + turn[j + 4]! * w;
    const rz = turn[j + 2]! * v + turn[j + 5]! * w;
    const n = 3 * i;
    const ox = held.off[n]!;
    const oy = held.off[n + 1]!;
    const oz = held.off[n + 2]!;
    out[n] = u[j]! * v + u[j + 3]! * w + ry * oz - rz * oy;
    out[n + 1] = u[j + 1]! * v + u[j + 4]! * w + rz * ox - rx * oz;
    out[n + 2] = u[j + 2]! * v + u[j + 5]! * w + rx * oy - ry * ox;
  }
}

function track(points: Float32Array, moved: Float32Array, m: Member): Track | null {
  const n = points.length / 3;
  if (n < 2) return null;
  const x = unit(sub(m.to, m.from));
  const at = new Float32Array(n);
  const p = (i: number): Vec3 => [points[3 * i]!, points[3 * i + 1]!, points[3 * i + 2]!];
  const u = (i: number): Vec3 => [moved[3 * i]!, moved[3 * i + 1]!, moved[3 * i + 2]!];
  const length = dot(sub(p(n - 1), p(0)), x);
  if (!(Math.abs(length) > 0)) return null;
  for (let i = 0; i < n; i++) at[i] = dot(sub(p(i), p(0)), x) / length;
  const turn = new Float32Array(3 * n);
  for (let i = 0; i < n; i++) {
    const [a, b] = [Math.max(0, i - 1), Math.min(n - 1, i + 1)];
    const ds = (at[b]! - at[a]!) * length;
    // a line that moves by u(s) turns by x × du/ds
    const slope = ds !== 0 ? times(1 / ds, sub(u(b), u(a))) : ([0, 0, 0] as Vec3);
    turn.set(cross(x, slope), 3 * i);
  }
  return { at, u: moved, turn };
}

// Where the machine is at a time of its cycle, and letting the time run.

import { effect, signal, untracked } from "@preact/signals";
import type { Cycle, Leg } from "../../../api/types";
import { loaded, playing } from "../../../state/pose";
import { pose } from "../../machine/stage";
import { type Asked, asking, nothing } from "../asking";

export const cycle = signal<Asked<Cycle>>(nothing());
/** time is the play head, s. */
export const time = signal(0);
/** pace is how fast the cycle is played, times real time. */
export const pace = signal(1);

export const followCycle = (): (() => void) => asking(cycle, "cycle", () => ({}));

/** before is the last index whose time is not after t; times ascend. */
export function before(times: readonly number[], t: number): number {
  let [low, high] = [0, times.length - 1];
  while (low < high) {
    const mid = (low + high + 1) >> 1;
    if (times[mid]! <= t) low = mid;
    else high = mid - 1;
  }
  return Math.max(0, low);
}

/** sample reads a curve between its points. */
export function sample(times: readonly number[], values: readonly (number | null)[], t: number): number | null {
  const i = before(times, t);
  const a = values[i] ?? null;
  const [t0, t1] = [times[i] ?? 0, times[i + 1] ?? 0];
  const b = values[i + 1] ?? null;
  if (a === null || b === null || !(t1 > t0)) return a;
  return a + (b - a) * Math.min(1, Math.max(0, (t - t0) / (t1 - t0)));
}

/** legAt is the step that is under way at a time: its index, -1 for none. */
export function legAt(legs: readonly Leg[], t: number): number {
  let at = -1;
  legs.forEach((l, i) => {
    if (t >= l.start - 1e-9) at = i;
  });
  return at;
}

/** go puts the play head and the machine to a time. */
export function go(t: number): void {
  const c = cycle.peek().answer;
  if (!c) return;
  const at = Math.min(c.duration, Math.max(0, t));
  time.value = at;
  pose(c.axes.map((a) => sample(c.t, a.q, at) ?? 0));
  const leg = c.legs[legAt(c.legs, at)];
  if (leg) loaded.value = leg.loaded;
}

/** nextLeg is the start of the next step (1) or of this or the last one (-1). */
export function nextLeg(c: Cycle, t: number, by: 1 | -1): number {
  const starts = c.legs.map((l) => l.start);
  if (by === 1) return starts.find((s) => s > t + 1e-6) ?? c.duration;
  return starts.filter((s) => s < t - 0.05).at(-1) ?? 0;
}

/** run moves the time while it plays; it begins again at the end. */
export function run(): () => void {
  let frame = 0;
  let last = 0;
  const step = (now: number) => {
    const c = cycle.peek().answer;
    if (c && last) {
      const t = time.peek() + ((now - last) / 1000) * pace.peek();
      go(t >= c.duration ? t % c.duration : t);
    }
    last = now;
    frame = requestAnimationFrame(step);
  };
  const end = effect(() => {
    const on = playing.value;
    untracked(() => {
      cancelAnimationFrame(frame);
      last = 0;
      if (on) frame = requestAnimationFrame(step);
    });
  });
  return () => {
    end();
    cancelAnimationFrame(frame);
    playing.value = false;
  };
}

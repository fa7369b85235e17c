// How the bodies of the machine follow the axes: they only translate.

import type { Scene, Vec3 } from "../../api/types";
import { add, times } from "./vec";

/** shifts is how far each body of the scene stands from its home place, m, by body index. */
export function shifts(scene: Pick<Scene, "axes" | "bodies">, q: readonly number[]): Map<number, Vec3> {
  const byIndex = new Map(scene.bodies.map((b) => [b.index, b]));
  const out = new Map<number, Vec3>();
  const of = (index: number, depth = 0): Vec3 => {
    const known = out.get(index);
    if (known) return known;
    const body = byIndex.get(index);
    if (!body || depth > scene.bodies.length) return [0, 0, 0];
    let at: Vec3 = body.parent !== null && body.parent !== index ? of(body.parent, depth + 1) : [0, 0, 0];
    const i = scene.axes.findIndex((a) => a.id === body.moved_by);
    if (i >= 0) at = add(at, times(q[i] ?? 0, scene.axes[i]!.dir));
    out.set(index, at);
    return at;
  };
  for (const b of scene.bodies) of(b.index);
  return out;
}

/** toolAt is the tool point at q: home and all that moves it. */
export function toolAt(scene: Pick<Scene, "axes" | "tool_point">, q: readonly number[]): Vec3 {
  return scene.axes.reduce((p, a, i) => add(p, times(q[i] ?? 0, a.dir)), scene.tool_point);
}

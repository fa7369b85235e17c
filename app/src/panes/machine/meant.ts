// Which solids of the picture a selection means.

import type { Scene } from "../../api/types";
import type { Selection } from "../../state/selection";

type Parts = Pick<Scene, "solids" | "members" | "feet">;

/** solidsOf resolves ids of solids, members and feet to ids of solids. */
export function solidsOf(scene: Parts, ids: readonly string[]): Set<string> {
  const wanted = new Set(ids);
  for (const m of scene.members) if (wanted.has(m.id)) wanted.add(m.solid);
  const feet = ids.filter((id) => scene.feet.some((f) => f.id === id));
  const out = new Set<string>();
  for (const s of scene.solids) {
    const own = wanted.has(s.id) || (s.of !== undefined && wanted.has(s.of));
    if (own || feet.some((f) => s.id.startsWith(`${f}.`))) out.add(s.id);
  }
  return out;
}

/**
 * solidsAt are the solids that come from a place in the design: from it or from
 * below it; if there are none, from the nearest place above it that is not a
 * whole section of the file.
 */
export function solidsAt(scene: Pick<Scene, "solids">, path: string): Set<string> {
  for (let at = path; at; at = at.slice(0, Math.max(at.lastIndexOf("."), at.lastIndexOf("[")))) {
    if (at !== path && !/[.[]/.test(at)) break;
    const found = scene.solids.filter((s) => under(s.path, at));
    if (found.length > 0) return new Set(found.map((s) => s.id));
  }
  return new Set();
}

const under = (path: string, at: string): boolean =>
  path === at || (path.startsWith(at) && (path[at.length] === "." || path[at.length] === "["));

/** meant are the solids that a selection lights up. */
export function meant(scene: Parts, selection: Selection | null): Set<string> {
  if (!selection) return new Set();
  if (selection.kind === "path") {
    const there = solidsAt(scene, selection.path ?? selection.id);
    if (there.size > 0) return there;
  }
  return solidsOf(scene, selection.parts);
}

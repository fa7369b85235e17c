// The drawing in words.

import { computed } from "@preact/signals";
import type { Scene, Solid } from "../../api/types";
import { selection } from "../../state/selection";
import { meant } from "./meant";
import { posed, scene } from "./stage";

/** millimetres shows a length of the drawing; it is no result. */
export const millimetres = (m: number): string => `${grouped(Math.round(m * 1000))} mm`;

/** grouped writes a whole number with narrow spaces between thousands. */
export const grouped = (n: number): string => n.toLocaleString("en").replaceAll(",", "\u202f");

/** readable is an id without its dots and strokes. */
export const readable = (id: string): string => id.replaceAll(/[._]/g, " ");

/** Kind is all parts of one group that are the same thing. */
export interface Kind {
  group: string;
  thing: string;
  solids: Solid[];
}

/** kinds lists the parts by group and thing, in the order of the scene; further pieces of a part are left out. */
export function kinds(s: Pick<Scene, "solids">): Kind[] {
  const out = new Map<string, Kind>();
  for (const solid of s.solids) {
    if (solid.of) continue;
    const key = `${solid.group}|${solid.thing}`;
    const kind = out.get(key);
    if (kind) kind.solids.push(solid);
    else out.set(key, { group: solid.group, thing: solid.thing, solids: [solid] });
  }
  return [...out.values()].sort((a, b) => order(s, a.group) - order(s, b.group));
}

function order(s: Pick<Scene, "solids">, group: string): number {
  return s.solids.findIndex((x) => x.group === group);
}

/** groupName is how a group of the scene is called. */
export function groupName(group: string, s: Pick<Scene, "axes">): string {
  return s.axes.some((a) => a.id === group) ? `axis ${group}` : group;
}

/** described says what the machine is and where it stands. */
export function described(s: Scene, q: readonly number[]): string {
  const dims = s.dims
    .filter((d) => d.name.startsWith("machine"))
    .map((d) => `${d.name.replace("machine ", "")} ${d.text}`);
  const axes = s.axes.map((a, i) => `${a.id} at ${millimetres(q[i] ?? 0)} of ${millimetres(a.travel)}`);
  const list = kinds(s).map((k) => `${k.solids.length} ${k.thing} of ${groupName(k.group, s)}`);
  return `${s.name}. Size: ${dims.join(", ")}. Axes: ${axes.join("; ")}. Named places: ${s.points
    .map((p) => readable(p.name))
    .join(", ")}. Parts: ${list.join(", ")}.`;
}

/** summary follows the scene, the pose and the selection. */
export const summary = computed(() => {
  const s = scene.value;
  if (!s) return "";
  const chosen = [...meant(s, selection.value)];
  const more = chosen.length > 8 ? ` and ${chosen.length - 8} more` : "";
  const said = chosen.length > 0 ? ` Selected: ${chosen.slice(0, 8).map(readable).join(", ")}${more}.` : "";
  return described(s, posed.value) + said;
});

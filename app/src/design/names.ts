// Names that the user gives in one place and uses in others.

import { isMap, isScalar } from "yaml";
import type { Places, Span } from "./places";
import { steps } from "./schema";

/** Naming: where names of one sort are given, and where they are used as key or as value. */
interface Naming {
  sort: string;
  given: string;
  asKey: string[];
  asValue: string[];
}

const namings: Naming[] = [
  {
    sort: "axis",
    given: "axes.*",
    asKey: ["task.points.*.*", "equipment.ends.*", "equipment.carriers.*"],
    asValue: ["equipment.cables.[].to", "equipment.no_cables.[]"],
  },
  { sort: "point", given: "task.points.*", asKey: [], asValue: ["task.cycle.[].to"] },
  {
    sort: "node",
    given: "stand.nodes.*",
    asKey: [],
    asValue: ["stand.members.*.from", "stand.members.*.to", "stand.supports.[]"],
  },
  { sort: "member", given: "stand.members.*", asKey: [], asValue: ["stand.carries.[]"] },
];

function fits(path: string, pattern: string): boolean {
  const have = steps(path);
  const want = pattern.split(".");
  return (
    have.length === want.length &&
    want.every((w, i) => (w === "[]" ? have[i]!.startsWith("[") : w === "*" || w === have[i]))
  );
}

const namingOf = (path: string, as: "key" | "value"): Naming | undefined =>
  namings.find((n) => (as === "key" ? n.asKey : n.asValue).some((p) => fits(path, p)));

/** isName says whether a name that is given elsewhere stands as value or key at a path. */
export const isName = (path: string, as: "key" | "value"): boolean => namingOf(path, as) !== undefined;

/** offered lists the names that may stand as value or key at a path; empty where any text may. */
export function offered(places: Places, path: string, as: "key" | "value"): string[] {
  const naming = namingOf(path, as);
  if (!naming) return [];
  const names = places.keys(naming.given.replace(/\.\*$/, ""));
  return path.startsWith("equipment.cables") ? ["stand", ...names, "tool"] : names;
}

/** canRename says whether the key of a path is a name that the user gave. */
export function canRename(path: string): boolean {
  return namings.some((n) => fits(path, n.given));
}

/** goodName: letters and digits, with - _ and . between them, as the design file wants it. */
export function goodName(name: string): boolean {
  return /^[\p{L}\p{Nd}]+(?:(?:[-_]+|\.)[\p{L}\p{Nd}]+)*$/u.test(name) && name.length <= 60;
}

/** rename returns the text with a name changed where it is given and wherever it is used. */
export function rename(places: Places, path: string, to: string): string {
  const naming = namings.find((n) => fits(path, n.given));
  const from = steps(path).at(-1);
  if (!naming || !from) return places.text;
  const spots: Span[] = [];
  for (const p of places.all) {
    const own = steps(p.path).at(-1);
    const keyed = p.path === path || naming.asKey.some((k) => fits(p.path, k));
    if (keyed && own === from && p.key) spots.push(p.key);
    if (naming.asValue.some((v) => fits(p.path, v)) && isScalar(p.node) && p.node.value === from) spots.push(p.value);
  }
  return replace(places.text, spots, to);
}

function replace(text: string, spots: Span[], by: string): string {
  let out = text;
  for (const s of spots.toSorted((a, b) => b.from - a.from)) out = out.slice(0, s.from) + by + out.slice(s.to);
  return out;
}

/** taken says whether a name stands already beside the one at path. */
export function taken(places: Places, group: string, name: string): boolean {
  const node = group === "" ? places.root : places.of(group)?.node;
  return isMap(node) && places.keys(group).includes(name);
}

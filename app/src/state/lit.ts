// Which things of the picture belong to a place of the design, and the other
// way round, from what the ledger says of its checks.

import { computed } from "@preact/signals";
import type { Check } from "../api/types";
import { parent } from "../design/places";
import { checks } from "./judgement";
import { type Selection, select, selection } from "./selection";

const partsByPath = computed(() => {
  const out = new Map<string, Set<string>>();
  for (const c of checks.value) {
    for (let p = c.path ?? ""; p !== ""; p = parent(p)) {
      const set = out.get(p) ?? new Set<string>();
      for (const part of c.part ?? []) set.add(part);
      out.set(p, set);
    }
  }
  return out;
});

/** partsOfPath are the things that checks about this place light up. */
export function partsOfPath(path: string): string[] {
  return [...(partsByPath.value.get(path) ?? [])];
}

/** selectCheck makes a line of the ledger what all panes look at. */
export function selectCheck(c: Check, from: Selection["from"] = "ledger"): void {
  select({ kind: "check", id: c.id, parts: c.part ?? [], ...(c.path && { path: c.path }), from });
}

/** concerned are the checks that speak of what is selected. */
export const concerned = computed<ReadonlySet<string>>(() => {
  const at = selection.value;
  const out = new Set<string>();
  if (!at) return out;
  const things = new Set(at.parts);
  for (const c of checks.value) {
    const here = at.path && c.path && (within(c.path, at.path) || within(at.path, c.path));
    if (at.kind === "check" ? c.id === at.id : here || (c.part ?? []).some((p) => things.has(p))) out.add(c.id);
  }
  return out;
});

function within(path: string, holder: string): boolean {
  return path === holder || (path.startsWith(holder) && /^[.[]/.test(path.slice(holder.length)));
}

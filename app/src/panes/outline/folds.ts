import { signal } from "@preact/signals";

/** openPaths are the groups that are unfolded. */
export const openPaths = signal<ReadonlySet<string>>(new Set(["task", "axes", "stand"]));
/** fullPaths are the groups that also show what is not written. */
export const fullPaths = signal<ReadonlySet<string>>(new Set());

export function toggle(which: typeof openPaths, path: string): void {
  const next = new Set(which.value);
  if (!next.delete(path)) next.add(path);
  which.value = next;
}

/** unfold opens a group. */
export function unfold(path: string): void {
  if (!openPaths.value.has(path)) openPaths.value = new Set([...openPaths.value, path]);
}

// One selection that all panes follow.

import { signal } from "@preact/signals";

/**
 * Selection is what the user last pointed at. A part is a thing in the picture
 * (id of a solid or member), a check is a line of the ledger, a path is a place
 * in the design. Whoever selects fills in what it knows of the other two.
 */
export interface Selection {
  kind: "part" | "check" | "path";
  id: string;
  /** things to light up in the picture: ids of solids and members of the scene */
  parts: string[];
  /** place in the design, e.g. axes.z.brake */
  path?: string;
  /** the pane that made it, so that it does not answer itself */
  from: "outline" | "text" | "ledger" | "machine" | "bench" | "strip";
}

export const selection = signal<Selection | null>(null);

/** hovered lights things up without selecting them. */
export const hovered = signal<string[]>([]);

export function select(next: Selection | null): void {
  selection.value = next;
}

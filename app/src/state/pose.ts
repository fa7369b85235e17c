// Where the machine stands in the picture.

import { signal } from "@preact/signals";

/** q is one coordinate an axis, m, in the order of the scene's axes. */
export const q = signal<number[]>([]);

/** loaded says whether the tool holds the payload. */
export const loaded = signal(true);

/** playing is true while the cycle or a mode moves the picture. */
export const playing = signal(false);

/** bench is the drawer that is open below the machine. */
export type Bench = "pose" | "workspace" | "modes" | "cycle" | "split" | "variants" | "remedies";
export const bench = signal<Bench>("pose");

/** overlay is the variant drawn as a ghost over the machine, "" for none. */
export const overlay = signal("");

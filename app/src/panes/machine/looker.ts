// The eye, as the tools of the drawing see it.

import { signal } from "@preact/signals";
import { reducedMotion } from "../../state/settings";
import { type Camera, looking, type ViewName } from "./camera";

/** Looker is what the tools need of the picture. */
export interface Looker {
  camera: Camera;
  look(to: Camera, ms?: number): void;
  fit(ms?: number): void;
  fitted(from: Camera): Camera;
}

/** looker is the picture that is shown, null while there is none. */
export const looker = signal<Looker | null>(null);
/** camera follows the picture's, for what is drawn beside it. */
export const camera = signal<Camera | null>(null);

const turn = () => (reducedMotion.value ? 0 : 260);

export function view(name: ViewName): void {
  const l = looker.value;
  if (l) l.look(l.fitted(looking(name, l.camera)), turn());
}

export function fitAll(): void {
  looker.value?.fit(turn());
}

export function perspective(on: boolean): void {
  const l = looker.value;
  if (l) l.look({ ...l.camera, perspective: on });
}

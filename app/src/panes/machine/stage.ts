// What the drawing shows, shared by the drawing and the benches below it.

import { batch, computed, effect, signal } from "@preact/signals";
import { get } from "../../api/client";
import type { Loops, SameScene, Scene, Shape, Vec3 } from "../../api/types";
import { followed } from "../../state/calm";
import { file } from "../../state/doc";
import { overlay, q } from "../../state/pose";
import { Latest } from "./latest";

/** scene is the machine of the last good judgement. */
export const scene = signal<Scene | null>(null);
/** loops are the cable carriers at the pose. */
export const loops = signal<Loops | null>(null);
/** ghost is the variant drawn over the machine. */
export const ghost = signal<Scene | null>(null);
/** trouble is why there is no drawing. */
export const trouble = signal("");

/** Bending is a shape that the drawing takes, drawn so many times too large. */
export interface Bending {
  shape: Shape;
  factor: number;
  /** swings a second in the picture; null stands still */
  swings: number | null;
  /** the end of its way at which a still shape is shown */
  side: 1 | -1;
  /** printed below the drawing: what it is and by how much it is too large */
  note: string;
}
export const bending = signal<Bending | null>(null);

/** plain: the drawing is the one without WebGL, which shows no shapes and cannot be cut. */
export const plain = signal(false);

/** lit are the ids of solids that a bench points at. */
export const lit = signal<string[]>([]);

/** Sheet is a coloured plane of the work space: a grid of places, row by row, each with its colour. */
export interface Sheet {
  columns: number;
  at: Vec3[];
  colours: string[];
}
export const sheet = signal<Sheet | null>(null);

/** Toggles are what is drawn besides the machine. */
export interface Toggles {
  names: boolean;
  sizes: boolean;
  space: boolean;
  list: boolean;
}
export const toggles = signal<Toggles>({ names: true, sizes: false, space: false, list: false });

/** Section hides what lies beyond a plane across one axis of the world, at a part (0 to 1) of the machine. */
export interface Section {
  axis: 0 | 1 | 2;
  at: number;
  far: boolean;
}
export const section = signal<Section | null>(null);

/** version is that of the judgement which drawing and benches show, 0 before there is one. */
export const version = signal(0);

/** posed is q where it fits the scene's axes, held within their travels. */
export const posed = computed<number[]>(() => {
  const s = scene.value;
  if (!s) return [];
  return s.axes.map((a, i) => {
    const v = q.value[i];
    return v === undefined || !Number.isFinite(v)
      ? (a.used[0] + a.used[1]) / 2
      : Math.min(a.over[1], Math.max(a.over[0], v));
  });
});

/** pose moves the machine. */
export function pose(next: readonly number[]): void {
  q.value = [...next];
}

/** query is a pose as requests carry it. */
export const query = (at: readonly number[]): string => at.map((v) => v.toFixed(6)).join();

const scenes = new Latest();
const carriers = new Latest();
const ghosts = new Latest();
const words = (e: unknown) => (e instanceof Error ? e.message : String(e));

effect(() => {
  const name = file.value;
  const j = followed.value;
  if (!name) return;
  if (!j) {
    scenes.stop();
    batch(() => {
      scene.value = null;
      version.value = 0;
    });
    return;
  }
  scenes.ask(
    () => get<Scene | SameScene>("scene", { file: name, known: scene.peek()?.mark }),
    (s) =>
      batch(() => {
        trouble.value = "";
        version.value = s.version;
        if (!("solids" in s)) return;
        if (s.axes.length !== q.peek().length) q.value = [];
        scene.value = s;
      }),
    (e) => {
      trouble.value = words(e);
    },
  );
});

effect(() => {
  const name = file.value;
  const s = scene.value;
  const at = posed.value;
  if (!name || !s?.solids.some((solid) => solid.loop)) {
    loops.value = null;
    return;
  }
  carriers.ask(
    () => get<Loops>("loops", { file: name, q: query(at) }),
    (l) => {
      loops.value = l;
    },
    () => {
      loops.value = null;
    },
  );
});

effect(() => {
  const name = file.value;
  const variant = overlay.value;
  if (!name || !variant) {
    ghosts.stop();
    ghost.value = null;
    return;
  }
  ghosts.ask(
    () => get<Scene>("scene", { file: name, variant }),
    (s) => {
      ghost.value = s;
    },
    () => {
      ghost.value = null;
    },
  );
});

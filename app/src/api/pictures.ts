// What the server draws and lists on demand: scene, poses, modes, maps, cycle,
// shares. Lengths are m; arrays in base64 are little-endian.

export type Vec3 = [number, number, number];

export interface SceneAxis {
  id: string;
  dir: Vec3;
  side: Vec3;
  normal: Vec3;
  travel: number;
  over: [number, number];
  /** coordinates that the cycle uses */
  used: [number, number];
}

export interface SceneBody {
  index: number;
  moved_by: string | null;
  parent: number | null;
}

export interface Solid {
  id: string;
  /** the solid to whose part this further piece belongs */
  of?: string;
  body: number;
  group: string;
  thing: string;
  part?: string;
  path: string;
  mesh: number;
  /** mesh to world at home, 16 numbers, column by column */
  matrix: number[];
  /** set on cable carriers: the axis that moves them; re-fetched per pose */
  loop?: string;
}

/** Mesh holds base64 little-endian arrays, in a frame of its own; solids of the same shape share it. */
export interface Mesh {
  positions: string;
  triangles: string;
  edges: string;
}

export interface Member {
  id: string;
  body: number;
  from: Vec3;
  to: Vec3;
  group: string;
  /** the bar that it is a piece of */
  solid: string;
  path: string;
}

export interface Scene {
  version: number;
  /** the same as long as the drawing is the same */
  mark: string;
  name: string;
  axes: SceneAxis[];
  bodies: SceneBody[];
  solids: Solid[];
  meshes: Mesh[];
  members: Member[];
  feet: { id: string; at: Vec3; path: string }[];
  tool_point: Vec3;
  workspace: { min: Vec3; max: Vec3 };
  points: { name: string; at: Vec3; q: number[]; path: string }[];
  dims: { name: string; from: Vec3; to: Vec3; value_m: number; text: string }[];
}

/** SameScene is the answer where the page has the drawing already, by its mark. */
export type SameScene = Pick<Scene, "version" | "mark">;

/** Loops are the cable carriers as they lie at a pose; drawn at home, moved with their bodies. */
export interface Loops {
  version: number;
  q: number[];
  solids: Solid[];
  meshes: Mesh[];
}

/** Shape is how the machine moves, for drawing. Lists are base64, three numbers a place. */
export interface Shape {
  members: { id: string; points: string; moved: string }[];
  bodies: { index: number; id?: string; at: Vec3; u: Vec3; r: Vec3 }[];
  tool: { at: Vec3; u: Vec3 };
  largest: number;
}

export interface Pose {
  version: number;
  q: number[];
  loaded: boolean;
  /** the tool point, undeformed */
  at: Vec3;
  tool: { dead: Vec3; payload: Vec3; total: Vec3 };
  sag: number;
  hz: number[];
  stiffness_N_m: [number | null, number | null, number | null];
  shape: Shape;
  texts: {
    dead: [string, string, string];
    payload: [string, string, string];
    total: [string, string, string];
    sag: string;
    hz: string[];
    stiffness: [string, string, string];
  };
}

/** Mode has a shape whose largest movement is 1. */
export interface Mode {
  hz: number;
  text: string;
  shape: Shape;
  participation: { x: number; y: number; z: number };
  words: string;
  energy: { group: string; share: number; percent: number }[] | null;
}

export interface Modes {
  version: number;
  q: number[];
  loaded: boolean;
  modes: Mode[];
}

export interface MapPoint {
  q: number[];
  at: Vec3;
  sag: number;
  u: Vec3;
  hz: number;
  text: { sag: string; u: [string, string, string]; hz: string };
}

/** Mapped is what a map can show: the sag, a movement along an axis of the world, the first frequency. */
export type Mapped = "sag" | "x" | "y" | "z" | "hz";

/** SpaceMap is a grid over the travels; the last axis runs fastest. */
export interface SpaceMap {
  version: number;
  axes: string[];
  counts: number[];
  travel: number[];
  values: MapPoint[];
  least: Record<Mapped, number>;
  greatest: Record<Mapped, number>;
  least_at: Record<Mapped, number>;
  greatest_at: Record<Mapped, number>;
  least_text: Record<Mapped, string>;
  greatest_text: Record<Mapped, string>;
  unit: Record<Mapped, string>;
}

/** FineMap is a finer grid over two axes; the second runs fastest. */
export interface FineMap {
  version: number;
  axis_a: string;
  axis_b: string;
  rest: number[];
  counts: [number, number];
  a: number[];
  b: number[];
  sag: number[];
  u: Vec3[];
  least: number;
  greatest: number;
  text: [string, string];
  unit: string;
}

export interface Leg {
  name: string;
  from: string;
  to: string;
  start: number;
  end: number;
  /** settled, and the dwell is over */
  until: number;
  loaded: boolean;
  settle_s: number | null;
  settles: boolean;
  path: string;
}

export interface CycleAxis {
  id: string;
  unit: string;
  q: number[];
  v: number[];
  a: number[];
  force: (number | null)[];
  limits: { v: number; a: number; force: number | null };
  force_peak: number | null;
  force_rms: number | null;
}

export interface Settle {
  leg: number;
  name: string;
  t: number[];
  envelope: number[];
  swing: number[];
  along: Vec3;
  band: number | null;
  time: number | null;
  time_text: string;
  ok: boolean;
}

export interface Cycle {
  version: number;
  duration: number;
  target_s?: number;
  text: string;
  legs: Leg[];
  t: number[];
  axes: CycleAxis[];
  tool: Vec3[];
  settle: Settle[];
}

export type SplitOf = "sag" | "sag_variation" | "x" | "y" | "z" | "first_mode";

export interface SplitShare {
  id: string;
  group: string;
  value: number;
  percent: number;
  text: string;
  part: string;
  solids: string[] | null;
  path: string;
}

/** Split is who contributes how much; the shares add up to the total. */
export interface Split {
  version: number;
  of: SplitOf;
  title: string;
  total: number;
  unit: string;
  text: string;
  q: number[];
  q_least?: number[];
  hz?: number;
  shares: SplitShare[];
  groups: { group: string; value: number; percent: number; text: string }[];
  residual: number;
}

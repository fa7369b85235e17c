// The shapes that pass between the page and its server. Lengths are m, masses
// kg, times s, forces N, frequencies Hz; axis coordinates are m in the order
// of the design's axes.

export type Disk = "same" | "changed" | "gone" | "new";

/** Doc is the working copy of one design, held by the server. */
export interface Doc {
  file: string;
  text: string;
  version: number;
  saved: boolean;
  disk: Disk;
  undo: number;
  redo: number;
  edited_by: string;
  recovered: boolean;
}

/** DocEvent is a Doc without its text, sent after each change. */
export type DocEvent = Omit<Doc, "text">;

export interface DesignFile {
  file: string;
  machine: string;
  designs: boolean;
  modified: string;
}

export interface FileList {
  folder: string;
  files: DesignFile[];
}

export interface Edit {
  path: string;
  value?: string;
  remove?: boolean;
}

export interface Starter {
  kind: string;
  title: string;
  axes: string[];
  about: string;
  task: Record<string, string | string[] | Record<string, string>>;
}

export interface Part {
  id: string;
  kind: string;
  title: string;
  facts: [string, string][];
  representative: boolean;
}

export type Severity = "error" | "warning" | "info";

export interface Diagnostic {
  file: string;
  line: number;
  column: number;
  end_line?: number;
  end_column?: number;
  severity: Severity;
  code: string;
  path?: string;
  value?: string;
  message: string;
  allowed?: string;
  hint?: string;
}

export type Verdict = "ok" | "tight" | "over" | "unknown";

export interface Counts {
  ok: number;
  tight: number;
  over: number;
  unknown: number;
}

export interface Summary {
  verdict: Verdict;
  counts: Counts;
  governing: string[];
}

/** Shown is a result in words, with fitting units; outcome says both. */
export interface Shown {
  value: string;
  limit: string;
  outcome?: string;
}

export interface Check {
  id: string;
  kind: string;
  group: string;
  subject: string;
  title: string;
  verdict: Verdict;
  value: number | null;
  limit: number | null;
  unit: string;
  sense: "max" | "min";
  utilisation: number | null;
  shown: Shown;
  note?: string;
  caution?: string;
  part: string[] | null;
  path?: string;
  /** axis coordinates where it is worst, m */
  pose?: number[] | null;
  missing?: string;
}

export interface Assumption {
  path: string;
  value: string;
  source: string;
  status: string;
}

export interface NotChecked {
  what: string;
  why: string;
}

/** Results are those of `check --json`, without the map and the response. */
export interface Results {
  cycle_time_s?: number;
  rate_per_h?: number;
  mass_kg?: number;
  cost?: number;
  tool?: {
    sag_max_m?: number;
    sag_variation_m?: number;
    first_frequency_hz?: number;
    first_frequency_at?: number[];
    settle_time_s?: number;
    [key: string]: unknown;
  };
  stand?: { mass_kg?: number; tipping_factor?: number; [key: string]: unknown };
  axes?: Record<string, Record<string, number>>;
  [key: string]: unknown;
}

/** Judged is one judgement that could be made. */
export interface Judged {
  version: number;
  ms: number;
  summary: Summary;
  headline: Headline;
  results: Results;
  checks: Check[];
  assumptions: Assumption[] | null;
  not_checked: NotChecked[] | null;
}

export interface Judgement extends Partial<Judged> {
  file: string;
  version: number;
  ms: number;
  ok: boolean;
  diagnostics: Diagnostic[] | null;
  last?: Judged;
}

export interface JudgedEvent {
  file: string;
  version: number;
  ms: number;
}

export interface JudgingEvent {
  file: string;
  version: number;
  step: string;
  done: number;
  total: number;
}

export interface WorkingInput {
  symbol: string;
  name: string;
  value: number | null;
  unit: string;
  from: string;
  shown?: string;
  /** the symbol as MathML */
  math?: string;
}

/** Spread is a result over the range of an uncertain input. */
export interface Spread {
  low: number;
  nominal: number;
  high: number;
  of: string;
  judged: string;
  shown: [string, string, string];
}

export interface Working {
  id: string;
  title: string;
  formula: string;
  substituted: string;
  inputs: WorkingInput[] | null;
  source: string;
  note?: string;
  caution?: string;
  shown: Shown;
  math?: string;
  range?: Spread;
  contributions?: { name: string; value: number; unit: string; shown: string }[];
  missing?: string;
}

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
  mass_kg: number | null;
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

export interface Headline {
  verdict: Verdict;
  counts: Counts;
  cycle_time_s: number | null;
  sag_variation_m: number | null;
  first_frequency_hz: number | null;
  settle_time_s: number | null;
  tipping: number | null;
  mass_kg: number | null;
  cost: number | null;
  /** the same in words */
  texts?: Record<string, string>;
  /** limits, where it is judged */
  targets?: Record<string, number>;
}

export interface Variant {
  id: string;
  name: string;
  made: string;
  version: number;
  headline: Headline;
}

export interface ComparedResult {
  key: string;
  name: string;
  unit: string;
  a: number | null;
  b: number | null;
  change: number | null;
  better: "a" | "b" | "same" | "";
  text_a: string;
  text_b: string;
  text?: string;
}

export interface ComparedSide {
  verdict: Verdict;
  utilisation: number | null;
  shown: Shown;
}

export interface ComparedCheck {
  id: string;
  title: string;
  a: ComparedSide | null;
  b: ComparedSide | null;
  change: "worse" | "better" | "new" | "gone" | "moved";
}

export interface Comparison {
  a: { name: string; ok?: boolean; headline?: Headline };
  b: { name: string; ok?: boolean; headline?: Headline };
  results: ComparedResult[] | null;
  /** only those that differ, worst first */
  checks: ComparedCheck[] | null;
  same: number;
  text_diff: string;
}

export interface Trial {
  ok: boolean;
  diagnostics: Diagnostic[] | null;
  headline?: Headline;
  compare?: Comparison;
}

export type JobState = "running" | "done" | "failed" | "cancelled";

export interface Job {
  id: string;
  kind: "improve" | "pack";
  file: string;
  state: JobState;
  what: string;
  done: number;
  total: number;
  started: string;
  error?: string;
  result?: { remedies?: Remedies; download?: string; name?: string };
}

/** RemedyState is how a check stood, or would stand. */
export interface RemedyState {
  value: number | null;
  limit: number | null;
  unit: string;
  utilisation: number | null;
  verdict: Verdict;
}

/** Remedy is one change with its computed gain, as in `improve --json`. */
export interface Remedy {
  number: number;
  /** mend one check, save mass or cost, or several remedies together */
  purpose: string;
  title: string;
  problem?: string;
  why: string;
  edits: Edit[];
  before?: RemedyState;
  after?: RemedyState;
  mass_change_kg: number;
  cost_change: number | null;
  side_effects: { check: string; before: RemedyState; after: RemedyState }[] | null;
  resolves: string[] | null;
  creates: string[] | null;
  counts: Counts;
}

/** Problem is a check that could be better, with the numbers of its remedies. */
export interface Problem {
  check: string;
  title: string;
  state: RemedyState;
  remedies: number[] | null;
  why_none?: string;
}

/** Remedies is the answer of `improve --json`. */
export interface Remedies {
  summary: Summary;
  problems: Problem[] | null;
  remedies: Remedy[] | null;
  machines_judged: number;
}

// The shapes that pass between the page and its server. Lengths are m, masses
// kg, times s, forces N, frequencies Hz; axis coordinates are m in the order
// of the design's axes.
// This file: designs and their judgement. Pictures and work done on designs stand
// in files of their own and are told on from here.

export type * from "./pictures";
export type * from "./work";

export type Disk = "same" | "changed" | "gone" | "new" | "unreadable";

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

// What is done with designs: variants, comparisons, trials, jobs, remedies.

import type { Counts, Diagnostic, Edit, Headline, Shown, Summary, Verdict } from "./types";

export interface Variant {
  id: string;
  name: string;
  made: string;
  version: number;
  /** none where it could not be judged */
  headline?: Headline | null;
  /** why there is no headline */
  reason?: string;
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
  /** number of the remedy that leaves least over; none if all leave as much */
  best?: number;
  machines_judged: number;
}

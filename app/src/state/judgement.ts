// The judgement of the working copy. The newest version wins; numbers of an
// older one stay in sight, marked stale, until the new ones are there.

import { batch, computed, effect, signal } from "@preact/signals";
import { get } from "../api/client";
import type { Check, Diagnostic, Judged, Judgement, JudgingEvent } from "../api/types";
import { doc, text } from "./doc";

/** judged is the last judgement that could be made. */
export const judged = signal<Judged | null>(null);
/** diagnostics are the mistakes of the newest text that was read. */
export const diagnostics = signal<Diagnostic[]>([]);
/** diagnosed is the version that the diagnostics speak of. */
export const diagnosed = signal(0);
export const progress = signal<JudgingEvent | null>(null);
/** checks are the ledger's, each the same object as before where nothing changed. */
export const checks = signal<Check[]>([]);
/** trouble: the judgement itself failed, with the reason. */
export const trouble = signal("");

/** stale: what is shown belongs to an older text. */
export const stale = computed(() => {
  const d = doc.value;
  const j = judged.value;
  return j === null || d === null || j.version !== d.version || text.value !== d.text;
});

/** blocked: the newest text has mistakes, so there is no newer judgement to wait for. */
export const blocked = computed(
  () => diagnosed.value === doc.value?.version && diagnostics.value.some((d) => d.severity === "error"),
);

/** How long one waits before words say so, ms; below it the new numbers are there sooner than the words are read. A choice. */
const patience = 500;

/** late: the numbers have been those of an older text for a while. */
export const late = signal(false);
effect(() => {
  if (!stale.value) {
    late.value = false;
    return undefined;
  }
  const timer = setTimeout(() => {
    late.value = true;
  }, patience);
  return () => clearTimeout(timer);
});

let asked: { file: string; version: number; turn: AbortController } | null = null;
let shownFile = "";

/** judge waits for the judgement of a version and shows it; a version is asked for once, unless it failed. */
export async function judge(file: string, version: number): Promise<void> {
  if (asked?.file === file && asked.version === version) return;
  asked?.turn.abort();
  const turn = new AbortController();
  asked = { file, version, turn };
  if (file !== shownFile) forget(file);
  try {
    const answer = await get<Judgement>("judgement", { file, version }, turn.signal);
    if (turn.signal.aborted) return;
    take(answer);
  } catch (e) {
    if (turn.signal.aborted) return;
    asked = null;
    trouble.value = e instanceof Error ? e.message : String(e);
  }
}

function forget(file: string): void {
  shownFile = file;
  batch(() => {
    judged.value = null;
    checks.value = [];
    diagnostics.value = [];
    diagnosed.value = 0;
    progress.value = null;
    trouble.value = "";
  });
}

/** take shows an answer; rows that did not change keep their object. */
export function take(answer: Judgement): void {
  batch(() => {
    trouble.value = "";
    progress.value = null;
    diagnostics.value = answer.diagnostics ?? [];
    diagnosed.value = answer.version;
    const good = answer.ok ? (answer as Judged) : answer.last;
    if (!good || (judged.value && good.version < judged.value.version)) return;
    judged.value = good;
    checks.value = reconcile(checks.value, good.checks);
  });
}

/** reconcile returns the new checks, with the old object wherever nothing differs. */
export function reconcile(old: Check[], next: Check[]): Check[] {
  const before = new Map(old.map((c) => [c.id, c]));
  let same = old.length === next.length;
  const out = next.map((c, i) => {
    const was = before.get(c.id);
    const kept = was && equal(was, c) ? was : c;
    if (kept !== old[i]) same = false;
    return kept;
  });
  return same ? old : out;
}

function equal(a: Check, b: Check): boolean {
  return (
    a.verdict === b.verdict &&
    a.value === b.value &&
    a.limit === b.limit &&
    a.utilisation === b.utilisation &&
    a.title === b.title &&
    a.shown?.value === b.shown?.value &&
    a.shown?.limit === b.shown?.limit &&
    a.note === b.note &&
    a.caution === b.caution &&
    a.path === b.path &&
    (a.part ?? []).join() === (b.part ?? []).join()
  );
}

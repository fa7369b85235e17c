// The numbers that sum a machine up, and what they were when it was last saved.

import { computed, effect, signal } from "@preact/signals";
import { get } from "../api/client";
import type { Check, Comparison, Headline, Judged } from "../api/types";
import { doc } from "./doc";
import { judged } from "./judgement";

/** Figure is one headline number: how it reads in words, and in which unit it is compared. */
export interface Figure {
  key: string;
  title: string;
  /** in SI */
  value: number | null;
  text: string;
  unit: string;
  /** how many units make one SI unit */
  scale: number;
  decimals: number;
  /** decimals of a change, where more mean something */
  finer?: number;
  better: "less" | "more";
  /** what is asked for, in words */
  target: string;
  /** the check that holds it to its limit */
  check?: Check;
}

type Key = "cycle_time_s" | "sag_variation_m" | "first_frequency_hz" | "settle_time_s" | "tipping" | "mass_kg" | "cost";

interface Kind {
  key: Key;
  title: string;
  /** beginning of the id of the checks that judge it */
  judgedBy: string;
  unit: string;
  scale: number;
  decimals: number;
  finer?: number;
  better: "less" | "more";
}

const s = { unit: "s", scale: 1, decimals: 2, better: "less" } as const;

const kinds: Kind[] = [
  { key: "cycle_time_s", title: "Cycle", judgedBy: "task.rate", ...s },
  { key: "sag_variation_m", title: "Sag variation", judgedBy: "tool.sag.variation", ...s, unit: "mm", scale: 1e3 },
  { key: "first_frequency_hz", title: "First mode", judgedBy: "tool.frequency", ...s, unit: "Hz", better: "more" },
  { key: "settle_time_s", title: "Settles in", judgedBy: "tool.settle", ...s },
  { key: "tipping", title: "Tipping", judgedBy: "stand.tipping", ...s, unit: "", better: "more" },
  { key: "mass_kg", title: "Mass", judgedBy: "", ...s, unit: "kg", decimals: 0, finer: 1 },
  { key: "cost", title: "Parts cost", judgedBy: "", ...s, unit: "", decimals: 0 },
];

/** figures reads the headline numbers out of a judgement. */
export function figures(j: Judged): Figure[] {
  return kinds.map((k) => {
    const value = j.headline[k.key] ?? null;
    const check = judging(j.checks, k.judgedBy, value);
    return {
      ...k,
      value,
      text: value === null ? (check?.verdict === "unknown" ? "unknown" : "–") : inWords(value, k),
      target: (check?.shown.limit ?? "").replace(/^at most /, "≤ ").replace(/^at least /, "≥ "),
      ...(check && { check }),
    };
  });
}

// Several checks may judge one quantity, each against its own limit; the number
// stands beside the limit of the check that it comes from.
function judging(all: Check[], prefix: string, value: number | null): Check | undefined {
  if (prefix === "") return undefined;
  const list = all.filter((c) => c.id === prefix || c.id.startsWith(`${prefix}.`));
  if (value === null) return list.find((c) => c.verdict === "unknown");
  return list.find((c) => c.value === value) ?? list.find((c) => c.id === prefix);
}

function inWords(value: number, k: Kind): string {
  return k.key === "settle_time_s" && value === 0 ? "at once" : shown(value, k);
}

function shown(value: number, k: Pick<Kind, "scale" | "decimals" | "unit">): string {
  const text = (value * k.scale).toLocaleString("en", {
    minimumFractionDigits: k.decimals,
    maximumFractionDigits: k.decimals,
  });
  return (k.unit ? `${text} ${k.unit}` : text).replaceAll(",", "\u2009");
}

/** Change of a figure since the last save; none where it reads the same. */
export interface Change {
  text: string;
  sense: "better" | "worse";
}

export function changeOf(now: Figure, then: number | null | undefined): Change | null {
  if (now.value === null || then === null || then === undefined) return null;
  const by = now.value - then;
  const text = shown(Math.abs(by), { ...now, decimals: now.finer ?? now.decimals });
  if (Number.parseFloat(text.replaceAll("\u2009", "")) === 0) return null;
  const better = by < 0 === (now.better === "less");
  return { text: `${by < 0 ? "−" : "+"}${text}`, sense: better ? "better" : "worse" };
}

const savedHeadline = signal<{ file: string; headline: Headline } | null>(null);

/** baseline are the figures of the text as it is on disk, null while unknown. */
export const baseline = computed<Headline | null>(() => {
  const saved = savedHeadline.value;
  return saved && saved.file === doc.value?.file ? saved.headline : null;
});

/** before is what a figure was when the design was last saved. */
export function before(f: Figure): number | null {
  return (baseline.value?.[f.key as Key] as number | null | undefined) ?? null;
}

/** keepBaseline remembers the headline whenever what was judged is what was saved. */
export function keepBaseline(): () => void {
  let asked = "";
  return effect(() => {
    const d = doc.value;
    const j = judged.value;
    if (!d || !j || j.version !== d.version) return;
    if (d.saved) {
      savedHeadline.value = { file: d.file, headline: j.headline };
    } else if (savedHeadline.peek()?.file !== d.file && asked !== d.file) {
      asked = d.file;
      void readSaved(d.file);
    }
  });
}

async function readSaved(file: string): Promise<void> {
  try {
    const c = await get<Comparison>("compare", { file, a: "saved", b: "now" });
    if (c.a.headline) savedHeadline.value = { file, headline: c.a.headline };
  } catch {
    // Without it the strip shows no changes.
  }
}

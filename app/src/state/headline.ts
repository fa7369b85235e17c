// The numbers that sum a machine up, and what they were when it was last saved.

import { computed, effect, signal } from "@preact/signals";
import { get } from "../api/client";
import type { Check, Comparison, Judged, Results } from "../api/types";
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
  better: "less" | "more";
  /** what is asked for, in words */
  target: string;
  /** the check that holds it to its limit */
  check?: Check;
}

interface Kind {
  key: string;
  title: string;
  of: (r: Results) => number | undefined;
  /** ids of the check that judges it, the first that exists */
  judgedBy: string[];
  unit: string;
  scale: number;
  decimals: number;
  better: "less" | "more";
}

const kinds: Kind[] = [
  {
    key: "cycle",
    title: "Cycle",
    of: (r) => r.cycle_time_s,
    judgedBy: ["task.rate", "task.cycle"],
    unit: "s",
    scale: 1,
    decimals: 2,
    better: "less",
  },
  {
    key: "sag",
    title: "Sag variation",
    of: (r) => r.tool?.sag_variation_m,
    judgedBy: ["tool.sag_variation", "tool.sag.variation"],
    unit: "mm",
    scale: 1e3,
    decimals: 2,
    better: "less",
  },
  {
    key: "frequency",
    title: "First mode",
    of: (r) => r.tool?.first_frequency_hz,
    judgedBy: ["tool.first_frequency", "tool.frequency"],
    unit: "Hz",
    scale: 1,
    decimals: 2,
    better: "more",
  },
  {
    key: "settle",
    title: "Settles in",
    of: (r) => r.tool?.settle_time_s,
    judgedBy: ["tool.settle_time", "tool.settle"],
    unit: "s",
    scale: 1,
    decimals: 2,
    better: "less",
  },
  {
    key: "tipping",
    title: "Tipping",
    of: (r) => r.stand?.tipping_factor,
    judgedBy: ["stand.tipping"],
    unit: "",
    scale: 1,
    decimals: 2,
    better: "more",
  },
  { key: "mass", title: "Mass", of: (r) => r.mass_kg, judgedBy: [], unit: "kg", scale: 1, decimals: 0, better: "less" },
  {
    key: "cost",
    title: "Parts cost",
    of: (r) => r.cost,
    judgedBy: [],
    unit: "",
    scale: 1,
    decimals: 0,
    better: "less",
  },
];

/** figures reads the headline numbers out of a judgement. */
export function figures(j: Judged): Figure[] {
  return kinds.map((k) => {
    const value = k.of(j.results) ?? null;
    const check = k.judgedBy.map((id) => j.checks.find((c) => c.id === id)).find(Boolean);
    return {
      key: k.key,
      title: k.title,
      value,
      text: value === null ? "unknown" : shown(value, k),
      unit: k.unit,
      scale: k.scale,
      decimals: k.decimals,
      better: k.better,
      target: check?.shown?.limit ?? "",
      ...(check && { check }),
    };
  });
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
  const text = shown(Math.abs(by), now);
  if (Number.parseFloat(text.replaceAll("\u2009", "")) === 0) return null;
  const better = by < 0 === (now.better === "less");
  return { text: `${by < 0 ? "−" : "+"}${text}`, sense: better ? "better" : "worse" };
}

const savedResults = signal<{ file: string; results: Results } | null>(null);

/** baseline are the figures of the text as it is on disk, null while unknown. */
export const baseline = computed<ReadonlyMap<string, number | null> | null>(() => {
  const saved = savedResults.value;
  if (!saved || saved.file !== doc.value?.file) return null;
  return new Map(kinds.map((k) => [k.key, k.of(saved.results) ?? null]));
});

/** keepBaseline remembers the results whenever what was judged is what was saved. */
export function keepBaseline(): () => void {
  let asked = "";
  return effect(() => {
    const d = doc.value;
    const j = judged.value;
    if (!d || !j || j.version !== d.version) return;
    if (d.saved) {
      savedResults.value = { file: d.file, results: j.results };
    } else if (savedResults.peek()?.file !== d.file && asked !== d.file) {
      asked = d.file;
      void readSaved(d.file);
    }
  });
}

async function readSaved(file: string): Promise<void> {
  try {
    const c = await get<Comparison>("compare", { file, a: "saved", b: "now" });
    if (c.a.results) savedResults.value = { file, results: c.a.results };
  } catch {
    // Without it the strip shows no changes.
  }
}

// Which lines of the ledger are shown, and in which order.

import type { Check, Verdict } from "../../api/types";

export interface Filter {
  text: string;
  verdicts: ReadonlySet<Verdict>;
  group: string;
  subject: string;
  /** only checks that speak of what is selected */
  concerned: boolean;
  order: "worst" | "group";
}

export const everything: Filter = {
  text: "",
  verdicts: new Set(["over", "unknown", "tight", "ok"]),
  group: "",
  subject: "",
  concerned: false,
  order: "worst",
};

export function visible(checks: readonly Check[], f: Filter, concerned: ReadonlySet<string>): Check[] {
  const words = f.text.toLowerCase().split(/\s+/).filter(Boolean);
  const shown = checks.filter(
    (c) =>
      f.verdicts.has(c.verdict) &&
      (f.group === "" || c.group === f.group) &&
      (f.subject === "" || c.subject === f.subject) &&
      (!f.concerned || concerned.has(c.id)) &&
      words.every((w) => `${c.id} ${c.title} ${c.note ?? ""} ${c.verdict}`.toLowerCase().includes(w)),
  );
  if (f.order === "worst") return shown;
  const order = [...new Set(checks.map((c) => c.group))];
  return shown.toSorted((a, b) => order.indexOf(a.group) - order.indexOf(b.group));
}

/** filtered says whether something is left out. */
export function filtered(f: Filter): boolean {
  return f.text !== "" || f.verdicts.size < 4 || f.group !== "" || f.subject !== "" || f.concerned;
}

/** values lists each value of a property once, as it first occurs, sorted. */
export function values(checks: readonly Check[], of: "group" | "subject", group = ""): string[] {
  return [...new Set(checks.filter((c) => group === "" || c.group === group).map((c) => c[of]))].sort();
}

/** isRule: it is kept or not, yes or no, and no share of a limit is used. */
export function isRule(c: {
  value: number | null;
  limit: number | null;
  unit: string;
  shown?: Check["shown"];
}): boolean {
  if (c.unit !== "" || c.limit !== 1 || (c.value !== 0 && c.value !== 1)) return false;
  return c.shown === undefined || ["yes", "no", ""].includes(c.shown.outcome ?? "");
}

/** percent of a limit that is used; "–" where that means nothing. */
export function percent(used: number | null): string {
  if (used === null || !Number.isFinite(used)) return "–";
  const p = used * 100;
  if (p > 999) return "> 999 %";
  return `${p >= 99.5 && p < 100 ? 99 : p > 100 && p < 100.5 ? 101 : Math.round(p)} %`;
}

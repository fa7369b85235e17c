// What a remedy does to checks other than the one that it is for, as a sentence.

import type { Remedy } from "../../../api/types";

/** Effects are the parts of a remedy that the sentence is made from. */
export type Effects = Pick<Remedy, "problem" | "resolves" | "creates" | "side_effects">;

/** besides says it in words; titleOf gives the title of a check by its id. */
export function besides(r: Effects, titleOf: (id: string) => string): string {
  const mends = (r.resolves ?? []).filter((id) => id !== r.problem);
  const spoils = r.creates ?? [];
  const told = new Set([...mends, ...spoils, r.problem]);
  const rest = (r.side_effects ?? []).filter((s) => !told.has(s.check));
  const eased = rest.filter((s) => (s.after.utilisation ?? 0) < (s.before.utilisation ?? 0)).length;
  const out = [];
  if (mends.length > 0) out.push(`also mends ${named(mends, titleOf)}`);
  if (spoils.length > 0) out.push(`puts ${named(spoils, titleOf)} over the limit or in doubt`);
  if (eased > 0) out.push(`eases ${others(eased)}`);
  const closer = rest.length - eased;
  if (closer > 0) out.push(`brings ${others(closer)} closer to ${closer === 1 ? "its limit" : "their limits"}`);
  return out.length > 0 ? `It ${listed(out)}.` : "It changes no other check much.";
}

const others = (n: number) => (n === 1 ? "1 other check" : `${n} other checks`);

const named = (ids: readonly string[], titleOf: (id: string) => string) => listed(ids.map((id) => `“${titleOf(id)}”`));

function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}

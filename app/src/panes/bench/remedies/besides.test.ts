import { expect, it } from "vitest";
import type { RemedyState } from "../../../api/types";
import { besides, type Effects } from "./besides";

const at = (utilisation: number): RemedyState => ({ value: null, limit: null, unit: "", utilisation, verdict: "ok" });
const effect = (check: string, before: number, after: number) => ({ check, before: at(before), after: at(after) });
const none: Effects = { problem: "a", resolves: null, creates: null, side_effects: null };
const title = (id: string) => `check ${id}`;

it.each<[string, Partial<Effects>, string]>([
  ["nothing else changes", {}, "It changes no other check much."],
  [
    "its own check is no other check",
    { resolves: ["a"], side_effects: [effect("a", 2, 1)] },
    "It changes no other check much.",
  ],
  ["one check is singular", { side_effects: [effect("b", 1, 0.5)] }, "It eases 1 other check."],
  [
    "several are plural",
    { side_effects: [effect("b", 1, 0.5), effect("c", 1, 0.5), effect("d", 0.1, 0.2)] },
    "It eases 2 other checks and brings 1 other check closer to its limit.",
  ],
  [
    "checks are named by their titles, and each is told once",
    { resolves: ["a", "b"], creates: ["c"], side_effects: [effect("b", 2, 0.5), effect("c", 0.5, 2)] },
    "It also mends “check b” and puts “check c” over the limit or in doubt.",
  ],
])("%s", (_, part, sentence) => expect(besides({ ...none, ...part }, title)).toBe(sentence));

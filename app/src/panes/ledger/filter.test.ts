import { describe, expect, it } from "vitest";
import type { Check, Verdict } from "../../api/types";
import { everything, filtered, percent, values, visible } from "./filter";

function check(id: string, verdict: Verdict, group: string, subject: string, title = id): Check {
  return {
    id,
    kind: id,
    group,
    subject,
    title,
    verdict,
    value: 1,
    limit: 2,
    unit: "",
    sense: "max",
    utilisation: 0.5,
    shown: { value: "1", limit: "at most 2" },
    part: null,
  };
}

const all = [
  check("axis.x.belt", "over", "axis", "axes.x", "pull of the belt"),
  check("stand.sway", "unknown", "stand", "stand"),
  check("axis.y.belt", "tight", "axis", "axes.y", "pull of the belt"),
  check("tool.sag", "ok", "tool", "tool"),
];
const ids = (list: Check[]) => list.map((c) => c.id);

describe("the ledger's filter", () => {
  it("shows everything in the order of the program at first", () => {
    expect(visible(all, everything, new Set())).toEqual(all);
    expect(filtered(everything)).toBe(false);
  });
  it("wants every word, wherever it stands", () => {
    expect(ids(visible(all, { ...everything, text: "belt y." }, new Set()))).toEqual(["axis.y.belt"]);
    expect(ids(visible(all, { ...everything, text: "PULL" }, new Set()))).toEqual(["axis.x.belt", "axis.y.belt"]);
  });
  it("keeps to verdicts, group, subject and what is selected", () => {
    expect(ids(visible(all, { ...everything, verdicts: new Set(["over", "unknown"]) }, new Set()))).toHaveLength(2);
    expect(ids(visible(all, { ...everything, group: "axis", subject: "axes.y" }, new Set()))).toEqual(["axis.y.belt"]);
    expect(ids(visible(all, { ...everything, concerned: true }, new Set(["tool.sag"])))).toEqual(["tool.sag"]);
  });
  it("keeps the worst first within a group", () => {
    const grouped = visible(all, { ...everything, order: "group" }, new Set());
    expect(ids(grouped)).toEqual(["axis.x.belt", "axis.y.belt", "stand.sway", "tool.sag"]);
  });
  it("lists what may be chosen", () => {
    expect(values(all, "group")).toEqual(["axis", "stand", "tool"]);
    expect(values(all, "subject", "axis")).toEqual(["axes.x", "axes.y"]);
  });
});

describe("a share of the limit", () => {
  it.each([
    [0.5, "50 %"],
    [0.9999, "99 %"], // never rounds up to a limit that is not reached
    [1.0001, "101 %"], // nor down to one that is passed
    [1, "100 %"],
    [12.3, "> 999 %"],
    [null, "–"],
    [Number.NaN, "–"],
  ])("of %s reads %s", (used, words) => expect(percent(used)).toBe(words));
});

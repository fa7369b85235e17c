import { describe, expect, it, vi } from "vitest";
import type { Check, Judged } from "../api/types";

vi.stubGlobal("crypto", { randomUUID: () => "w" });
const { changeOf, figures } = await import("./headline");

const check = (id: string, value: number, limit: string): Check => ({
  id,
  kind: id,
  group: "",
  subject: "",
  title: id,
  verdict: "ok",
  value,
  limit: 1,
  unit: "",
  sense: "min",
  utilisation: 0.5,
  shown: { value: `${value}`, limit },
  part: null,
});

function judged(sag: number | null): Judged {
  return {
    version: 1,
    ms: 1,
    summary: { verdict: "ok", counts: { ok: 1, tight: 0, over: 0, unknown: 0 }, governing: [] },
    headline: {
      verdict: "ok",
      counts: { ok: 1, tight: 0, over: 0, unknown: 0 },
      cycle_time_s: 10.681,
      sag_variation_m: sag,
      first_frequency_hz: 6.37,
      settle_time_s: 0,
      tipping: 3.7,
      mass_kg: 577.5,
      cost: 14811,
    },
    results: {},
    checks: [check("stand.tipping", 22, "at least 1.5"), check("stand.tipping.tilt", 3.7, "at least 1")],
    assumptions: null,
    not_checked: null,
  };
}
const figure = (sag: number | null, key: string) => figures(judged(sag)).find((f) => f.key === key)!;

describe("the main numbers", () => {
  it("stand beside the limit of the check that they come from", () => {
    expect(figure(0.0003, "tipping")).toMatchObject({ text: "3.70", target: "≥ 1" });
  });
  it("are unknown only where a check says so, and claim no limit where none applies", () => {
    expect(figure(null, "sag_variation_m")).toMatchObject({ text: "–", target: "" });
    const j = judged(null);
    j.checks.push({ ...check("tool.sag.variation", 0, "at most 1.5 mm"), value: null, verdict: "unknown" });
    expect(figures(j).find((f) => f.key === "sag_variation_m")?.text).toBe("unknown");
  });
  it.each([
    [0.0003, 0.0005, { text: "−0.20 mm", sense: "better" }],
    [0.0005, 0.0003, { text: "+0.20 mm", sense: "worse" }],
    [0.0003, 0.000301, null], // reads the same
    [0.0003, null, null],
    [null, 0.0003, null],
  ])("from %s, saved %s, changed by %j", (now, then, want) => {
    expect(changeOf(figure(now, "sag_variation_m"), then)).toEqual(want);
  });
  it("count more as better where more is better", () => {
    expect(changeOf(figure(0.0003, "first_frequency_hz"), 5)?.sense).toBe("better");
  });
});

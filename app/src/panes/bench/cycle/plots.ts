// Which curves a chart of the cycle has, and what they are held against.

import type { Cycle, CycleAxis, Settle } from "../../../api/types";
import { readable } from "../../machine/words";
import type { Level, Plotted } from "./plot";

type Kind = "q" | "v" | "a" | "force";

const kinds: { of: Kind; title: string }[] = [
  { of: "q", title: "position, m" },
  { of: "v", title: "speed, m/s" },
  { of: "a", title: "acceleration, m/s²" },
  { of: "force", title: "force of the drive, N" },
];

/** plotsOf are position, speed, acceleration and force: of all axes, or of one with its limits. */
export function plotsOf(c: Cycle, axis: string): Plotted[] {
  const one = c.axes.find((a) => a.id === axis);
  const axes = one ? [one] : c.axes;
  return kinds.map(({ of, title }) => ({
    title: one ? `${title}, axis ${one.id}` : title,
    x: c.t,
    lines: axes.map((a) => ({ name: a.id, values: a[of], style: c.axes.indexOf(a) })),
    levels: one ? limits(one, of) : [],
    height: 124,
    named: !one,
    zero: true,
  }));
}

/** limits are the programmed ones; the force has none of its own, so its largest is named. */
function limits(a: CycleAxis, of: Kind): Level[] {
  const both = (v: number, words: string): Level[] => [
    { value: v, words },
    { value: -v, words: "" },
  ];
  if (of === "v") return both(a.limits.v, "limit");
  if (of === "a") return both(a.limits.a, "limit");
  if (of === "force" && a.limits.force !== null) return both(a.limits.force, "limit");
  if (of === "force" && a.force_rms !== null) return [{ value: a.force_rms, words: "rms" }];
  return [];
}

/** settlePlot is the swing of the tool after a step, its envelope and the band, in mm. */
export function settlePlot(s: Settle): Plotted {
  const mm = (list: number[], sign = 1) => list.map((v) => v * 1000 * sign);
  const band = s.band === null ? [] : [s.band * 1000, -s.band * 1000];
  return {
    title: `swing of the tool, mm, over s after ${readable(s.name)}`,
    x: s.t,
    lines: [
      { name: "swing", values: mm(s.swing), style: 0 },
      { name: "at most", values: mm(s.envelope), style: 1 },
      { name: "", values: mm(s.envelope, -1), style: 1 },
    ],
    levels: band.map((value, i) => ({ value, words: i === 0 ? "band" : "", wrong: true })),
    height: 200,
    named: false,
    zero: true,
  };
}

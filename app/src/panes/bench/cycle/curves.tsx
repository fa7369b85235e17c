import { useMemo } from "preact/hooks";
import type { Cycle, CycleAxis } from "../../../api/types";
import { playing } from "../../../state/pose";
import { Charts } from "./charts";
import { go, time } from "./playing";
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
    height: 118,
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

function set(t: number): void {
  playing.value = false;
  go(t);
}

export function Curves({ cycle, axis }: { cycle: Cycle; axis: string }) {
  const plots = useMemo(() => plotsOf(cycle, axis), [cycle, axis]);
  return <Charts plots={plots} head={time} set={set} label="Position, speed, acceleration and force over the cycle" />;
}

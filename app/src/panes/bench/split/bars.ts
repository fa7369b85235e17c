// Shares put together by cause, for bars.

import type { Split, SplitShare } from "../../../api/types";

export interface Group {
  name: string;
  percent: number;
  text: string;
  shares: SplitShare[];
}

/** barsOf lists the groups, the largest first whatever its sign, and the span of all bars, per cent. */
export function barsOf(s: Pick<Split, "groups" | "shares">): { groups: Group[]; span: [number, number] } {
  const groups = s.groups.map((g) => ({
    name: g.group,
    percent: g.percent,
    text: g.text,
    shares: s.shares.filter((x) => x.group === g.group),
  }));
  const all = [...s.groups, ...s.shares].map((x) => x.percent);
  return { groups, span: [Math.min(0, ...all), Math.max(0, ...all)] };
}

/** leftOver says how far the shares add up. */
export function leftOver(s: Pick<Split, "residual" | "total" | "shares">): string {
  const rest = s.total !== 0 ? Math.abs(s.residual / s.total) : 0;
  const count = `${s.shares.length} shares`;
  if (rest < 1e-6) return `= the sum of the ${count} below`;
  return `; the ${count} below add up to it but for ${(rest * 100).toPrecision(2)} %`;
}

import type { Headline } from "../../../api/types";

/** headlineTitles are the main numbers that a variant is told by. */
export const headlineTitles = ["cycle", "sag variation", "first frequency", "settles in", "tipping", "mass", "cost"];

/** headlineTexts are the main numbers of a variant in words. */
export function headlineTexts(h: Headline): { title: string; text: string }[] {
  return [
    { title: "cycle", text: number(h.cycle_time_s, 2, "s") },
    { title: "sag variation", text: number(h.sag_variation_m === null ? null : h.sag_variation_m * 1e3, 2, "mm") },
    { title: "first frequency", text: number(h.first_frequency_hz, 2, "Hz") },
    { title: "settles in", text: h.settle_time_s === 0 ? "at once" : number(h.settle_time_s, 2, "s") },
    { title: "tipping", text: number(h.tipping, 2, "") },
    { title: "mass", text: number(h.mass_kg, 0, "kg") },
    { title: "cost", text: number(h.cost, 0, "") },
  ];
}

function number(value: number | null | undefined, decimals: number, unit: string): string {
  if (value === null || value === undefined) return "–";
  const text = value.toLocaleString("en", { minimumFractionDigits: decimals, maximumFractionDigits: decimals });
  return `${text.replaceAll(",", "\u2009")}${unit && `\u00a0${unit}`}`;
}

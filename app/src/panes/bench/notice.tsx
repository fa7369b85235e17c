import type { Asked } from "./asking";

/** Missing says why a bench has nothing to show yet; null where it has. */
export function Missing({ of, what }: { of: Asked<unknown>; what: string }) {
  if (of.wrong) return <p class="notice notice-wrong">{`${what} could not be had: ${of.wrong}.`}</p>;
  return <p class="notice">{`Working out ${what}…`}</p>;
}

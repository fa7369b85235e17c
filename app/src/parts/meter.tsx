import type { Verdict } from "../api/types";

/** Meter draws how much of a limit is used; the stroke at 1 is the limit. */
export function Meter({ used, verdict }: { used: number | null; verdict: Verdict }) {
  if (used === null || !Number.isFinite(used)) return <svg class="meter" viewBox="0 0 100 8" aria-hidden="true" />;
  const width = Math.max(0, Math.min(used, 1.25)) * 80;
  return (
    <svg class={`meter meter-${verdict}`} viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">
      <path d="M0 7.5H100" class="base" />
      <rect x="0" y="2" width={width} height="4" />
      <path d="M80 0V8" class="limit" />
    </svg>
  );
}

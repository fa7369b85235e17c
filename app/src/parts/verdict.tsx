import type { Verdict } from "../api/types";

const shapes = {
  ok: <circle cx="8" cy="8" r="5.5" class="open" />,
  tight: (
    <>
      <circle cx="8" cy="8" r="5.5" class="open" />
      <path d="M8 2.5a5.5 5.5 0 0 0 0 11z" class="full" />
    </>
  ),
  over: <rect x="2.5" y="2.5" width="11" height="11" class="full" />,
  unknown: (
    <>
      <circle cx="8" cy="8" r="6" class="dashed" />
      <path d="M6 6.4a2 2 0 1 1 2.9 1.9c-.6.3-.9.7-.9 1.3" class="open" />
      <circle cx="8" cy="11.4" r=".5" class="full" />
    </>
  ),
};

/** Mark is the shape of a verdict; the word stands beside it or is read aloud. */
export function Mark({ verdict, word = true }: { verdict: Verdict; word?: boolean }) {
  return (
    <span class={`mark mark-${verdict}`}>
      <svg viewBox="0 0 16 16" aria-hidden="true">
        {shapes[verdict]}
      </svg>
      <span class={word ? "" : "aloud"}>{verdict}</span>
    </span>
  );
}

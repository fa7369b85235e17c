import { signal } from "@preact/signals";
import type { Judged } from "../../api/types";
import { select } from "../../state/selection";

const open = signal<"" | "assumptions" | "not-checked">("");

/** Beside the checks stand what was assumed and what was not checked. */
export function Beside({ judged }: { judged: Judged }) {
  const assumed = judged.assumptions ?? [];
  const left = judged.not_checked ?? [];
  const flip = (which: typeof open.value) => {
    open.value = open.value === which ? "" : which;
  };
  return (
    <div class="beside">
      <div class="beside-heads">
        <button
          type="button"
          class="chip"
          aria-expanded={open.value === "assumptions"}
          onClick={() => flip("assumptions")}
        >
          {assumed.length} assumptions
        </button>
        <button
          type="button"
          class="chip"
          aria-expanded={open.value === "not-checked"}
          onClick={() => flip("not-checked")}
        >
          {left.length} not checked
        </button>
      </div>
      {open.value === "assumptions" && (
        <ul class="beside-list">
          {assumed.map((a) => (
            <li key={a.path}>
              <button
                type="button"
                class="link"
                onClick={() => select({ kind: "path", id: a.path, path: a.path, parts: [], from: "ledger" })}
              >
                {a.path}
              </button>{" "}
              <b>{a.value}</b> <span>({a.status})</span>
              <small>{a.source}</small>
            </li>
          ))}
        </ul>
      )}
      {open.value === "not-checked" && (
        <ul class="beside-list">
          {left.map((n, i) => (
            <li key={`${n.what}${i}`}>
              <b>{n.what}</b>
              <small>{n.why}</small>
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

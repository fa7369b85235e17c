import { offset } from "../../design/places";
import { places } from "../../state/design";
import { blocked, diagnostics } from "../../state/judgement";
import { select } from "../../state/selection";

/** MistakeList stands below the text: what is wrong and where, one line each. */
export function MistakeList() {
  const list = diagnostics.value;
  if (list.length === 0) {
    return (
      <div class="text-mistakes">
        <p class="quiet">No mistake in the text. Ctrl Space: what may stand here.</p>
      </div>
    );
  }
  const go = (line: number, column: number, path?: string) => {
    const here = places.peek();
    const at = path || here.at(offset(here.text, line, column));
    select({ kind: "path", id: at, path: at, parts: [], from: "ledger" });
  };
  return (
    <div class="text-mistakes">
      <p class={blocked.value ? "notice-wrong" : ""}>
        {list.length === 1 ? "1 mistake" : `${list.length} mistakes`}
        {blocked.value && "; the numbers are those of the last text that could be judged"}
      </p>
      <ul>
        {list.map((d) => (
          <li key={`${d.line}:${d.column}${d.message}`}>
            <button type="button" class="link" onClick={() => go(d.line, d.column, d.path)}>
              line {d.line}
            </button>{" "}
            {d.message}
            {d.hint ? `; ${d.hint}` : ""}
          </li>
        ))}
      </ul>
    </div>
  );
}

import { signal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { type Field, walk } from "../../design/outline";
import { parent } from "../../design/places";
import { Button } from "../../parts/button";
import { places, pointed, tree } from "../../state/design";
import { file, text, type } from "../../state/doc";
import { show } from "../../state/keys";
import { selection } from "../../state/selection";
import { change } from "../../state/settings";
import { Row } from "./field";
import "./outline.css";
import { openPaths } from "./folds";
import { Section } from "./section";

const sought = signal("");

/** Outline shows the design as fields; every change keeps comments and layout of the text. */
export function Outline() {
  const frame = useRef<HTMLDivElement>(null);
  const fields = tree.value;
  const fault = places.value.fault;
  useFollow(frame.current);
  if (!fault && places.value.root === null && file.value) return <Empty />;
  const words = sought.value.trim().toLowerCase();
  return (
    <div class="outline">
      <div class="outline-find">
        <input
          type="search"
          aria-label="Find a field"
          placeholder="Find a field: speed, brace, people…"
          value={sought.value}
          onInput={(e) => {
            sought.value = e.currentTarget.value;
          }}
        />
      </div>
      {fault && (
        <p class="notice notice-wrong" role="alert">
          The text cannot be read ({fault.message}). The fields show what could be read last.{" "}
          <button type="button" class="link" onClick={() => change({ description: "text" })}>
            To the text
          </button>
        </p>
      )}
      <div class="outline-body" role="group" aria-label="Fields of the design" ref={frame} onKeyDown={keys}>
        {words === "" ? (
          fields.map((f) => <Section key={f.path} field={f} level={1} />)
        ) : (
          <Found fields={fields} words={words} />
        )}
      </div>
      <Help />
    </div>
  );
}

/** firstLines make a text that fields can be written into. */
const firstLines = "spanwright: 1\nname: new machine\n";

/** Empty stands where the text holds nothing that fields could be of. */
function Empty() {
  const begin = () => {
    const before = text.value.trimEnd();
    type(before === "" ? firstLines : `${before}\n${firstLines}`);
  };
  return (
    <div class="outline">
      <div class="notice">
        <p>The text is empty, so there are no fields to change. What stood there comes back with Undo.</p>
        <p class="outline-begin">
          <Button main onClick={begin}>
            Write the first lines
          </Button>
          <Button onClick={() => show("new")}>Begin with a starter, in a new file</Button>
        </p>
      </div>
    </div>
  );
}

const sayings = new WeakMap<Field, string>();

/** saying is all the words of a field that a search looks at. */
function saying(f: Field): string {
  let words = sayings.get(f);
  if (words === undefined) {
    words = `${f.path} ${f.title} ${f.help}`.toLowerCase();
    sayings.set(f, words);
  }
  return words;
}

function Found({ fields, words }: { fields: Field[]; words: string }) {
  const hit = [...walk(fields)].filter(
    (f) => !["group", "names", "list"].includes(f.form) && saying(f).includes(words),
  );
  if (hit.length === 0) return <p class="notice">No field of that name.</p>;
  return (
    <>
      {hit.slice(0, 60).map((f) => (
        <Row key={f.path} field={f} name={f.path} />
      ))}
      {hit.length > 60 && <p class="notice">and {hit.length - 60} more</p>}
    </>
  );
}

/** Help stands at the foot, so that nothing moves while one goes through the fields. */
function Help() {
  const f = pointed.value;
  return (
    <div class="outline-help" id="outline-help" aria-live="off">
      {f ? (
        <>
          <b>{f.path}</b>
          <p>{f.help || "no description"}</p>
        </>
      ) : (
        <p>Go to a field to read what it means.</p>
      )}
    </div>
  );
}

// What is selected elsewhere is opened and brought into view.
function useFollow(frame: HTMLElement | null): void {
  const at = selection.value;
  useEffect(() => {
    if (!frame || !at?.path || at.from === "outline") return;
    const open = new Set(openPaths.value);
    for (let p = at.path; p !== ""; p = parent(p)) open.add(p);
    openPaths.value = open;
    requestAnimationFrame(() => {
      for (let p = at.path!; p !== ""; p = parent(p)) {
        const row = frame.querySelector(`[data-path="${CSS.escape(p)}"]`);
        if (row) return row.scrollIntoView({ block: "nearest" });
      }
    });
  }, [frame, at]);
}

// Up and down go from field to field, whatever kind it is.
function keys(e: KeyboardEvent): void {
  if (e.defaultPrevented || !(e.ctrlKey || e.metaKey) || (e.key !== "ArrowDown" && e.key !== "ArrowUp")) return;
  const all = [...(e.currentTarget as HTMLElement).querySelectorAll<HTMLElement>("input, select, button.fold")];
  const here = all.indexOf(document.activeElement as HTMLElement);
  all[here + (e.key === "ArrowDown" ? 1 : -1)]?.focus();
  e.preventDefault();
}

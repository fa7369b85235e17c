import type { Field } from "../../design/outline";
import { parent } from "../../design/places";
import { Button } from "../../parts/button";
import { Icon } from "../../parts/icon";
import { mistakes, pointed } from "../../state/design";
import { edit } from "../../state/doc";
import { partsOfPath } from "../../state/lit";
import { select, selection } from "../../state/selection";
import { Add } from "./add";
import { Row } from "./field";
import { fullPaths, openPaths, toggle } from "./folds";
import { ItemTools } from "./item";

const holds = new Set(["group", "names", "list"]);

/** Section is a group of fields that can be folded; a single field is a row. */
export function Section({ field, level }: { field: Field; level: number }) {
  if (!holds.has(field.form)) return <Row field={field} />;
  const open = openPaths.value.has(field.path);
  const wrong = countBelow(field.path);
  const lit = selection.value?.path === field.path;
  return (
    <div class={`section section-${level}${lit ? " lit" : ""}`} data-path={field.path}>
      <div class="section-head">
        <button
          type="button"
          class="fold"
          aria-expanded={open}
          onClick={() => {
            toggle(openPaths, field.path);
            pointed.value = field;
            select({ kind: "path", id: field.path, path: field.path, parts: partsOfPath(field.path), from: "outline" });
          }}
          onFocus={() => {
            pointed.value = field;
          }}
          onKeyDown={(e) => {
            if ((e.key === "ArrowRight" && !open) || (e.key === "ArrowLeft" && open)) toggle(openPaths, field.path);
          }}
        >
          <Icon name="turn" />
          <span class="section-name">{field.title}</span>
          {!open && <span class="section-sum">{field.present ? field.summary : "not written"}</span>}
          {wrong > 0 && <span class="section-wrong">{wrong === 1 ? "1 mistake" : `${wrong} mistakes`}</span>}
        </button>
        {open && <ItemTools field={field} />}
      </div>
      {open && (
        <div class="section-body">
          <Mistakes path={field.path} />
          <Body field={field} level={level} />
        </div>
      )}
    </div>
  );
}

function Body({ field, level }: { field: Field; level: number }) {
  if (field.form !== "group") {
    return (
      <>
        {field.children.map((c) => (
          <Section key={c.path} field={c} level={level + 1} />
        ))}
        <Add field={field} />
      </>
    );
  }
  const full = fullPaths.value.has(field.path) || !field.present;
  const [shown, hidden] = halves(field.children, full);
  return (
    <>
      {shown.map((c) => (
        <Section key={c.path} field={c} level={level + 1} />
      ))}
      {hidden > 0 && (
        <button type="button" class="link more" onClick={() => toggle(fullPaths, field.path)}>
          {hidden} more with defaults
        </button>
      )}
      {hidden === 0 && fullPaths.value.has(field.path) && (
        <button type="button" class="link more" onClick={() => toggle(fullPaths, field.path)}>
          only what is written
        </button>
      )}
      {field.present && !field.required && canRemove(field.path) && (
        <Button quiet class="more" onClick={() => void edit([{ path: field.path, remove: true }])}>
          Take out “{field.title}”
        </Button>
      )}
    </>
  );
}

// Entries of names and lists have their own remove button.
function canRemove(path: string): boolean {
  const holder = parent(path);
  return (
    holder !== "" &&
    !path.endsWith("]") &&
    !/^(axes|task\.points|stand\.(nodes|members)|equipment\.(ends|carriers))$/.test(holder)
  );
}

function halves(fields: Field[], full: boolean): [Field[], number] {
  if (full) return [fields, 0];
  const shown = fields.filter((f) => f.present || f.required);
  return [shown, fields.length - shown.length];
}

/** Mistakes are shown beside the field that they speak of. */
export function Mistakes({ path }: { path: string }) {
  const list = mistakes.value.get(path);
  if (!list) return null;
  return (
    <ul class="mistakes">
      {list.map((d) => (
        <li key={`${d.code}${d.message}`} class={`mistake-${d.severity}`}>
          {d.message}
          {d.hint ? `; ${d.hint}` : ""}
        </li>
      ))}
    </ul>
  );
}

function countBelow(path: string): number {
  let n = 0;
  for (const [at, list] of mistakes.value) {
    if (at === path || at.startsWith(`${path}.`) || at.startsWith(`${path}[`)) n += list.length;
  }
  return n;
}

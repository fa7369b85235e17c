import { isName, offered } from "../../design/names";
import type { Field } from "../../design/outline";
import { join, choices as words } from "../../design/schema";
import { stepped, withUnit, written, writtenText, writtenVector } from "../../design/write";
import { Chooser } from "../../parts/chooser";
import { Draft } from "../../parts/draft";
import { mistakes, pointed, readable } from "../../state/design";
import { edit } from "../../state/doc";
import { partsOfPath } from "../../state/lit";
import { select, selection } from "../../state/selection";
import { parts } from "../../state/start";
import { RowTools } from "./item";
import { Mistakes } from "./section";

/** Row is one field: its name, its value, and what is wrong with it. */
export function Row({ field, name }: { field: Field; name?: string }) {
  const lit = selection.value?.path === field.path && selection.value.from !== "outline";
  const wrong = mistakes.value.has(field.path);
  const classes = ["row", field.present ? "" : "row-absent", lit ? "lit" : "", wrong ? "row-wrong" : ""];
  return (
    <div
      class={classes.filter(Boolean).join(" ")}
      data-path={field.path}
      onFocusCapture={() => point(field)}
      onPointerEnter={() => {
        pointed.value = field;
      }}
    >
      <div class="row-line">
        <span class="row-name">
          {name ?? field.title}
          {field.required && !field.present && <span class="needed"> needed</span>}
        </span>
        <span class="row-value">
          <Value field={field} />
        </span>
        <RowTools field={field} />
      </div>
      <Mistakes path={field.path} />
    </div>
  );
}

function point(field: Field): void {
  pointed.value = field;
  select({ kind: "path", id: field.path, path: field.path, parts: partsOfPath(field.path), from: "outline" });
}

function Value({ field }: { field: Field }) {
  switch (field.form) {
    case "choice":
      return <Choice field={field} />;
    case "part":
      return <PartChoice field={field} />;
    case "vector":
      return <Vector field={field} />;
    case "row":
      return <Named field={field} />;
    case "words":
      return <Words field={field} />;
    default:
      return <Single field={field} />;
  }
}

const invalid = (f: Field) => mistakes.value.has(f.path);
const isText = (f: Field) => Array.isArray(f.schema.type) && f.schema.type.includes("string");

/** put writes a value, or takes it out where it was cleared and may be absent. */
function put(field: Field, value: string): Promise<boolean> {
  if (value.trim() === "") {
    return field.required ? Promise.resolve(false) : edit([{ path: field.path, remove: true }]);
  }
  const text = isText(field) ? writtenText(value) : written(withUnit(value, field.value || field.fallback));
  return edit([{ path: field.path, value: text }]);
}

function Single({ field }: { field: Field }) {
  const names = isName(field.path, "value") ? offered(readable.value, field.path, "value") : [];
  if (names.length > 0) {
    return (
      <Chooser
        value={field.value}
        placeholder={field.fallback}
        label={field.title}
        invalid={invalid(field)}
        describedBy="outline-help"
        choices={names.map((id) => ({ id, title: "", facts: "" }))}
        onFocus={() => point(field)}
        commit={(v) => put(field, v)}
      />
    );
  }
  return (
    <Draft
      value={field.value}
      placeholder={field.fallback || hint(field)}
      label={field.title}
      invalid={invalid(field)}
      describedBy="outline-help"
      commit={(v) => put(field, v)}
      step={
        field.units.length > 0 || field.schema.type === "number" || field.schema.type === "integer"
          ? stepped
          : undefined
      }
    />
  );
}

function hint(field: Field): string {
  const example = field.schema.examples?.[0];
  return example === undefined || isText(field) ? "" : `e.g. ${String(example)}`;
}

function Choice({ field }: { field: Field }) {
  const list = words(field.schema);
  const odd = field.present && !list.includes(field.value);
  return (
    <select
      aria-label={field.title}
      aria-invalid={invalid(field)}
      aria-describedby="outline-help"
      value={field.present ? field.value : ""}
      onChange={(e) => void put(field, e.currentTarget.value)}
    >
      {(!field.present || !field.required) && (
        <option value="">{field.fallback ? `${field.fallback} (default)` : "not written"}</option>
      )}
      {odd && <option value={field.value}>{field.value}</option>}
      {list.map((w) => (
        <option key={w} value={w}>
          {w}
        </option>
      ))}
    </select>
  );
}

function PartChoice({ field }: { field: Field }) {
  const kinds = field.schema["x-part"] ?? [];
  const fit = [...parts.value.values()].filter((p) => kinds.includes(p.kind));
  const list = fit.map((p) => ({
    id: p.id,
    title: p.title,
    facts: p.facts.map(([label, value]) => `${label} ${value}`).join(" · "),
    note: p.representative ? "representative data" : "supplier data",
  }));
  const bare = ["none", "rigid", "hinged"].filter((w) => w === field.fallback || field.help.includes(`or ${w}`));
  const first = bare.map((id) => ({ id, title: "", facts: "", note: "" }));
  return (
    <Chooser
      value={field.value}
      placeholder={field.fallback}
      label={field.title}
      invalid={invalid(field)}
      describedBy="outline-help"
      choices={[...first, ...list]}
      onFocus={() => point(field)}
      commit={(v) => put(field, v)}
    />
  );
}

function Vector({ field }: { field: Field }) {
  const n = field.schema.minItems ?? field.values.length;
  const defaults = Array.isArray(field.schema.default) ? field.schema.default.map(String) : [];
  const at = (i: number) => field.values[i] ?? "";
  const commit = (i: number, typed: string) => {
    if (typed.trim() === "" && !field.required) return edit([{ path: field.path, remove: true }]);
    const all = Array.from({ length: n }, (_, k) => (k === i ? typed : at(k) || defaults[k] || typed));
    return edit([
      { path: field.path, value: writtenVector(all.map((v, k) => withUnit(v, at(k) || defaults[k] || at(0)))) },
    ]);
  };
  return (
    <span class="several">
      {Array.from({ length: n }, (_, i) => (
        <Draft
          key={i}
          value={at(i)}
          placeholder={defaults[i] ?? ""}
          whole
          label={`${field.title}, ${i + 1} of ${n}`}
          invalid={invalid(field)}
          describedBy="outline-help"
          commit={(v) => commit(i, v)}
          step={stepped}
        />
      ))}
    </span>
  );
}

function Named({ field }: { field: Field }) {
  const names = offered(readable.value, join(field.path, "x"), "key");
  const keys = [...new Set([...names, ...field.children.map((c) => c.key)])];
  return (
    <span class="several">
      {keys.map((key) => {
        const child = field.children.find((c) => c.key === key);
        const path = join(field.path, key);
        return (
          <span class="pair" key={key}>
            <span>{key}</span>
            <Draft
              value={child?.value ?? ""}
              placeholder="–"
              whole
              label={`${field.title}, ${key}`}
              invalid={mistakes.value.has(path)}
              describedBy="outline-help"
              commit={(v) =>
                v.trim() === ""
                  ? edit([{ path, remove: true }])
                  : edit([{ path, value: written(withUnit(v, child?.value || field.children[0]?.value || "")) }])
              }
              step={stepped}
            />
          </span>
        );
      })}
    </span>
  );
}

function Words({ field }: { field: Field }) {
  return (
    <Draft
      value={field.values.join(", ")}
      placeholder={field.fallback || "none"}
      label={`${field.title}, with commas between`}
      invalid={invalid(field)}
      describedBy="outline-help"
      commit={(v) => {
        const list = v
          .split(",")
          .map((w) => w.trim())
          .filter(Boolean);
        return list.length === 0
          ? edit([{ path: field.path, remove: true }])
          : edit([{ path: field.path, value: writtenVector(list) }]);
      }}
    />
  );
}

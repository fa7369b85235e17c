// The design as a tree of fields: what the text holds, and what it might hold.

import { isMap, isSeq } from "yaml";
import type { Places } from "./places";
import { type Described, describe, type Form, join, resolve, type Schema, shownDefault, title, units } from "./schema";
import { quantity } from "./write";

/** Field is one place of the design in the outline. */
export interface Field {
  path: string;
  key: string;
  title: string;
  help: string;
  form: Form;
  required: boolean;
  /** it stands in the text */
  present: boolean;
  /** as written; "" where it is absent */
  value: string;
  /** values of a vector, or words of a list of words */
  values: string[];
  /** what holds while it is absent */
  fallback: string;
  /** a quantity's unit names; empty for plain numbers and texts */
  units: string[];
  schema: Schema;
  children: Field[];
  /** one line about what a folded group holds */
  summary: string;
}

/** outline builds the tree from the text and the schema. */
export function outline(places: Places, root: Schema): Field[] {
  return groupFields(places, root, root, "");
}

function groupFields(places: Places, root: Schema, schema: Schema, path: string): Field[] {
  const known = Object.keys(schema.properties ?? {});
  const extra = places.keys(path).filter((k) => !known.includes(k));
  const own = known.map((key) => field(places, root, join(path, key), key));
  return [...own.filter((f) => f !== null), ...extra.map((key) => unknown(places, path, key))];
}

function field(places: Places, root: Schema, path: string, key: string): Field | null {
  const about = describe(root, path);
  if (!about) return null;
  const place = places.of(path);
  const base = plainField(about, path, key);
  base.present = place !== undefined;
  base.value = places.written(path) ?? "";
  fill(base, places, root, about.schema);
  base.summary = summary(base);
  return base;
}

function plainField(about: Described, path: string, key: string): Field {
  const { schema } = about;
  return {
    path,
    key,
    title: title(key),
    help: about.help,
    form: about.form,
    required: about.required,
    present: false,
    value: "",
    values: [],
    fallback: shownDefault(schema),
    units: about.form === "value" ? units(schema) : [],
    schema,
    children: [],
    summary: "",
  };
}

function fill(f: Field, places: Places, root: Schema, schema: Schema): void {
  const node = places.of(f.path)?.node;
  switch (f.form) {
    case "group":
      f.children = groupFields(places, root, schema, f.path);
      break;
    case "names":
    case "row":
      f.children = places
        .keys(f.path)
        .map((key) => field(places, root, join(f.path, key), key))
        .filter((c) => c !== null);
      break;
    case "list":
      f.children = Array.from({ length: places.count(f.path) }, (_, i) =>
        field(places, root, join(f.path, `[${i + 1}]`), `${i + 1}`),
      ).filter((c) => c !== null);
      break;
    case "vector":
    case "words":
      f.values = isSeq(node)
        ? node.items.map((_, i) => places.written(join(f.path, `[${i + 1}]`)) ?? "")
        : f.value === ""
          ? []
          : [f.value];
      f.units = schema.items ? units(resolve(schema.items, root)) : [];
      break;
    default:
      // A value that is written as a group or a list although one value is expected.
      if (isMap(node) || isSeq(node)) f.value = f.value.replaceAll(/\s+/g, " ");
  }
}

const nothingKnown: Schema = {};

function unknown(places: Places, path: string, key: string): Field {
  const at = join(path, key);
  return {
    path: at,
    key,
    title: key,
    help: "not a key of the design file",
    form: "value",
    required: false,
    present: true,
    value: places.written(at) ?? "",
    values: [],
    fallback: "",
    units: [],
    schema: nothingKnown,
    children: [],
    summary: "",
  };
}

function summary(f: Field): string {
  if (f.form === "names" || f.form === "row") return f.children.map((c) => c.key).join(", ");
  if (f.form === "list") return f.children.length === 1 ? "1 entry" : `${f.children.length} entries`;
  if (f.form !== "group") return "";
  const shown = f.children.filter(
    (c) => c.present && (c.value !== "" || c.values.length > 0) && c.children.length === 0,
  );
  const inner = f.children.filter((c) => c.present && (c.form === "group" || c.form === "names" || c.form === "list"));
  if (shown.length < 2 && inner.length > 1) return inner.map((c) => c.title).join(", ");
  return shown
    .slice(0, 4)
    .map((c) => (c.values.length > 0 ? several(c) : c.value))
    .join(", ");
}

/** several reads values that belong together: sizes with ×, a lowest and a highest as a range, all others with commas. */
function several(f: Field): string {
  if (f.form !== "vector") return f.values.join(", ");
  if (f.key === "size") return f.values.join(" × ");
  if (f.values.length !== 2 || !f.help.startsWith("lowest and highest")) return `(${f.values.join(", ")})`;
  const [low, high] = f.values.map(quantity);
  const least = low && high && low.unit === high.unit ? low.number : f.values[0]!;
  return `${least} to ${f.values[1]!}`;
}

/** starter is the YAML of a new entry of names or a list: what must be there, with examples. */
export function starter(root: Schema, group: string, example: (path: string, schema: Schema) => string): string {
  const about = describe(root, group);
  const element = about?.form === "list" ? about.schema.items : about?.schema.additionalProperties;
  if (!about || typeof element !== "object") return "{}";
  return block(root, resolve(element, root), join(group, "new"), example);
}

function block(root: Schema, schema: Schema, path: string, example: (path: string, schema: Schema) => string): string {
  if (!schema.properties) return example(path, schema);
  const entries = (schema.required ?? []).map((key) => {
    const inner = resolve(schema.properties![key]!, root);
    return `${key}: ${inner.properties ? block(root, inner, join(path, key), example) : example(join(path, key), inner)}`;
  });
  return `{${entries.join(", ")}}`;
}

/** reuse returns the new fields, with the old object wherever nothing differs, so that only what changed is shown anew. */
export function reuse(old: Field[], next: Field[]): Field[] {
  const before = new Map(old.map((f) => [f.path, f]));
  const out = next.map((f) => {
    const was = before.get(f.path);
    if (!was) return f;
    f.children = reuse(was.children, f.children);
    return alike(was, f) ? was : f;
  });
  return out.length === old.length && out.every((f, i) => f === old[i]) ? old : out;
}

const listed = (a: string[], b: string[]): boolean => a.length === b.length && a.every((v, i) => v === b[i]);

function alike(a: Field, b: Field): boolean {
  return (Object.keys(a) as (keyof Field)[]).every((key) =>
    key === "values" || key === "units" ? listed(a[key], b[key]) : a[key] === b[key],
  );
}

/** walk visits a field and all that it holds. */
export function* walk(fields: Field[]): Generator<Field> {
  for (const f of fields) {
    yield f;
    yield* walk(f.children);
  }
}

// The schema of the design file, asked the way a form and an editor ask it.

/** Schema is the part of JSON Schema that the design file uses. */
export interface Schema {
  title?: string;
  description?: string;
  type?: string | string[];
  $ref?: string;
  $defs?: Record<string, Schema>;
  properties?: Record<string, Schema>;
  additionalProperties?: Schema | boolean;
  propertyNames?: Schema;
  items?: Schema;
  minItems?: number;
  maxItems?: number;
  minProperties?: number;
  required?: string[];
  enum?: (string | number | boolean)[];
  anyOf?: Schema[];
  default?: unknown;
  examples?: unknown[];
  minimum?: number;
  maximum?: number;
  pattern?: string;
  "x-part"?: string[];
}

/**
 * Form says how a value is written: a group has known keys, names are keys of
 * the user's with a group each, a row the same with one value each; a vector
 * has a fixed count of values, words any count, a list has groups.
 */
export type Form = "group" | "names" | "row" | "list" | "vector" | "words" | "choice" | "part" | "value";

/** Described is a place of the design file as the schema describes it. */
export interface Described {
  schema: Schema;
  form: Form;
  help: string;
  required: boolean;
}

/** resolve follows a reference; what stands beside the reference wins. */
export function resolve(schema: Schema, root: Schema): Schema {
  const name = schema.$ref?.replace("#/$defs/", "");
  if (!name) return schema;
  const { $ref: _, ...beside } = schema;
  return { ...root.$defs?.[name], ...beside };
}

export function formOf(schema: Schema, root: Schema): Form {
  if (schema.properties) return "group";
  if (typeof schema.additionalProperties === "object") {
    return formOf(resolve(schema.additionalProperties, root), root) === "group" ||
      typeof resolve(schema.additionalProperties, root).additionalProperties === "object"
      ? "names"
      : "row";
  }
  if (schema.items) {
    if (resolve(schema.items, root).properties) return "list";
    return schema.minItems !== undefined && schema.minItems === schema.maxItems ? "vector" : "words";
  }
  if (schema["x-part"]) return "part";
  return choices(schema).length > 0 ? "choice" : "value";
}

/** choices lists the words that may be chosen, each once, in the order of the schema. */
export function choices(schema: Schema): string[] {
  const given = schema.enum ?? schema.anyOf?.find((s) => s.enum && s.enum.length > 1)?.enum ?? [];
  const words = given.filter((v) => v !== true && v !== false).map(String);
  return [...new Set(words)].filter((w) => !w.startsWith("+"));
}

/** steps cuts a path such as task.cycle[2].to into task, cycle, [2], to. */
export function steps(path: string): string[] {
  return path.match(/\[\d+\]|[^.[\]]+/g) ?? [];
}

/** join puts a step behind a path. */
export function join(path: string, step: string): string {
  if (path === "") return step;
  return step.startsWith("[") ? path + step : `${path}.${step}`;
}

const described = new WeakMap<Schema, Map<string, Described | null>>();

/**
 * describe looks a path up. Keys of the user's (axes, points) may hold dots, so
 * steps that the schema does not know are taken as part of the name before. A
 * schema does not change, so what was found is remembered.
 */
export function describe(root: Schema, path: string): Described | null {
  let known = described.get(root);
  if (!known) {
    known = new Map();
    described.set(root, known);
  }
  let found = known.get(path);
  if (found === undefined) {
    found = lookUp(root, path);
    known.set(path, found);
  }
  return found;
}

function lookUp(root: Schema, path: string): Described | null {
  let schema = root;
  let required = true;
  for (const step of steps(path)) {
    const next = step.startsWith("[") ? schema.items : child(schema, step);
    if (!next) return null;
    required = schema.required?.includes(step) ?? false;
    schema = resolve(next, root);
  }
  return { schema, form: formOf(schema, root), help: schema.description ?? "", required };
}

function child(schema: Schema, key: string): Schema | undefined {
  const own = schema.properties?.[key];
  if (own) return own;
  return typeof schema.additionalProperties === "object" ? schema.additionalProperties : undefined;
}

const unitsOf = new Map<string, string[]>();

/** units lists the unit names of a quantity, as its pattern allows them. */
export function units(schema: Schema): string[] {
  const pattern = schema.pattern ?? schema.anyOf?.map((s) => s.pattern).find(Boolean) ?? "";
  let found = unitsOf.get(pattern);
  if (!found) {
    found = read(pattern);
    unitsOf.set(pattern, found);
  }
  return found;
}

function read(pattern: string): string[] {
  const group = lastGroup(pattern.replaceAll(/\[[^\]]*\u00a0[^\]]*\][*+]?/g, ""));
  return parts(group)
    .map((u) => plainUnit(u))
    .filter((u) => /^[\w/%]+$/.test(u));
}

// The group at the end of the pattern holds the units.
function lastGroup(pattern: string): string {
  const end = pattern.lastIndexOf(")");
  let depth = 0;
  for (let i = end; i >= 0; i--) {
    if (pattern[i] === ")") depth++;
    if (pattern[i] === "(") depth--;
    if (depth === 0)
      return pattern
        .slice(i, end + 1)
        .replace(/^\((\?:)?/, "")
        .slice(0, -1);
  }
  return "";
}

function parts(group: string): string[] {
  const out = [""];
  let depth = 0;
  for (const c of group) {
    if (c === "(") depth++;
    if (c === ")") depth--;
    if (c === "|" && depth === 0) out.push("");
    else out[out.length - 1] += c;
  }
  return out;
}

function plainUnit(unit: string): string {
  return unit
    .replaceAll(/\(\?:([^|)]*)\|[^)]*\)/g, "$1")
    .replaceAll(/\[([^\]])[^\]]*\]/g, "$1")
    .replaceAll(/\\\^\?/g, "")
    .replaceAll("\\", "");
}

/** shownDefault is the default as it would be written, "" where there is none. */
export function shownDefault(schema: Schema): string {
  const d = schema.default;
  if (d === undefined) return "";
  return Array.isArray(d) ? `[${d.join(", ")}]` : String(d);
}

/** example is a value that may be written, "" where none is known. */
export function example(schema: Schema, root: Schema): string {
  const first = schema.examples?.[0] ?? schema.default ?? choices(schema)[0];
  if (Array.isArray(first)) return `[${first.join(", ")}]`;
  if (first !== undefined) return String(first);
  if (schema.items && schema.minItems) {
    const one = example(resolve(schema.items, root), root);
    return `[${Array.from({ length: schema.minItems }, () => one).join(", ")}]`;
  }
  return schema.minimum !== undefined ? String(schema.minimum) : "";
}

/** title makes a key readable. */
export function title(key: string): string {
  return key.replaceAll("_", " ");
}

// The task of a starter as one field a value, and back.

import type { Starter } from "../../api/types";
import { describe, example, type Schema, units } from "../../design/schema";

/** Task is one text a field, by name. */
export type Task = Record<string, string>;

/** flat makes one field of every value of a starter's task: payload_size.1, travel.x. */
export function flat(task: Starter["task"]): Task {
  const out: Task = {};
  for (const [key, value] of Object.entries(task)) {
    if (typeof value === "string") out[key] = value;
    else for (const [inner, v] of Object.entries(value)) out[`${key}.${inner}`] = v;
  }
  return out;
}

/** deep puts the fields back into the form of the starter's task. */
export function deep(like: Starter["task"], fields: Task): Starter["task"] {
  const out: Starter["task"] = {};
  for (const [key, value] of Object.entries(like)) {
    if (typeof value === "string") out[key] = fields[key] ?? value;
    else if (Array.isArray(value)) out[key] = value.map((v, i) => fields[`${key}.${i}`] ?? v);
    else out[key] = Object.fromEntries(Object.entries(value).map(([k, v]) => [k, fields[`${key}.${k}`] ?? v]));
  }
  return out;
}

/** slug makes a file name of the name of a machine. */
export function slug(name: string): string {
  return name
    .toLowerCase()
    .normalize("NFKD")
    .replaceAll(/[^a-z0-9]+/g, "-")
    .replaceAll(/^-|-$/g, "");
}

/** place is where a field of the task stands in the design. */
function place(field: string): string {
  const [key, inner] = field.split(".");
  if (key === "payload_mass") return "task.payload.mass";
  if (key === "payload_size") return `task.payload.size[${Number(inner) + 1}]`;
  return key === "travel" ? `axes.${inner}.travel` : `task.${field}`;
}

/** Allowed is what may stand in a field of the task. */
export interface Allowed {
  fits: (text: string) => boolean;
  /** the same in words */
  words: string;
}

/** allowed asks the schema; a field left empty keeps what the starter has. */
export function allowed(root: Schema, field: string): Allowed {
  const about = describe(root, place(field));
  const pattern = about?.schema.pattern;
  if (!about || !pattern) return { fits: () => true, words: "" };
  const form = new RegExp(pattern, "u");
  const sample = example(about.schema, root);
  const range = /(?:^|; )(\S+ \S+ to \S+ \S+)(?:;|$)/.exec(about.help)?.[1];
  const said = [range ?? (sample && `e.g. ${sample}`), units(about.schema).join(", ")];
  return { fits: (text) => text.trim() === "" || form.test(text), words: said.filter(Boolean).join("; in ") };
}

/** withEnding is the name of a design file: what does not end as one gets the ending. */
export function withEnding(path: string): string {
  return /\.ya?ml$/i.test(path) ? path : `${path}.yaml`;
}

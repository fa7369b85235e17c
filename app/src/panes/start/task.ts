// The task of a starter as one field a value, and back.

import type { Starter } from "../../api/types";

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

// What may stand at a place of the text: keys, choices, parts, units, names.
// The text is half written while this is asked, so the place is found by
// indentation and brackets, not by reading the whole as YAML.

import type { Part } from "../api/types";
import { offered } from "./names";
import type { Places } from "./places";
import { choices, describe, join, resolve, type Schema, shownDefault, units } from "./schema";

/** Option is one thing that may be written from `from` to the cursor. */
export interface Option {
  label: string;
  insert: string;
  sort: "key" | "choice" | "part" | "unit" | "name";
  detail: string;
  help: string;
}

export interface Completion {
  from: number;
  options: Option[];
}

/** Spot is where the cursor stands: in a key of a group, or in the value of a path. */
export interface Spot {
  as: "key" | "value";
  /** the group whose key is being written, or the path whose value is */
  path: string;
  typed: string;
  from: number;
}

const opener = /^(\s*)((?:- +)*)(?:([^\s#:[\]{}"',][^:#[\]{}"',]*):)?/;

function read(line: string): { indent: number; dashes: number; key: string; rest: string; keyAt: number } {
  const m = opener.exec(line)!;
  const dash = (m[2] ?? "").length;
  const indent = m[1]!.length;
  const key = m[3] ?? "";
  return { indent, dashes: (m[2]!.match(/-/g) ?? []).length, key, rest: line.slice(m[0].length), keyAt: indent + dash };
}

/** spot finds the place at an offset. */
export function spot(text: string, offset: number): Spot {
  const start = text.lastIndexOf("\n", offset - 1) + 1;
  const before = text.slice(start, offset);
  const above = text.slice(0, start).split("\n").slice(0, -1);
  const own = read(before);
  let path = holder(above, own.dashes > 0 ? own.indent : own.keyAt, own.dashes > 0);
  if (own.dashes > 0) path = join(path, `[${entry(above, own.indent)}]`);
  if (own.key === "") {
    const rest = before.slice(own.keyAt);
    if (/[[{]/.test(rest)) return inBrackets(path, rest, offset);
    return { as: "key", path, typed: rest.trimStart(), from: offset - rest.trimStart().length };
  }
  return inBrackets(join(path, own.key.trim()), own.rest, offset);
}

// The path that holds a line of this indentation.
function holder(above: string[], indent: number, dash: boolean): string {
  const chain: string[] = [];
  let limit = indent;
  let listed = dash;
  for (let i = above.length - 1; i >= 0; i--) {
    const line = above[i]!;
    if (/^\s*(#|$)/.test(line)) continue;
    const l = read(line);
    if (l.dashes > 0 && l.keyAt <= limit && l.indent < limit && !listed) {
      // a key beside or below the first key of a list's entry
      if (l.keyAt < limit && l.key !== "") chain.unshift(l.key.trim());
      chain.unshift(`[${entry(above.slice(0, i), l.indent)}]`);
      limit = l.indent;
      listed = true;
      continue;
    }
    if (l.dashes > 0 || l.key === "") continue;
    if (l.indent < limit || (listed && l.indent <= limit)) {
      chain.unshift(l.key.trim());
      limit = l.indent;
      listed = false;
    }
    if (limit === 0 && !listed) break;
  }
  return chain.reduce((path, step) => join(path, step), "");
}

// The number of the entry that a dash of this indentation begins.
function entry(above: string[], indent: number): number {
  let count = 1;
  for (let i = above.length - 1; i >= 0; i--) {
    const line = above[i]!;
    if (/^\s*(#|$)/.test(line)) continue;
    const l = read(line);
    if (l.indent < indent || (l.indent === indent && l.dashes === 0)) break;
    if (l.indent === indent && l.dashes > 0) count++;
  }
  return count;
}

// Follows {…} and […] of one line to where the cursor stands.
function inBrackets(path: string, rest: string, offset: number): Spot {
  const stack: { path: string; kind: "{" | "["; entry: number }[] = [];
  let at = path;
  let token = "";
  let value = true;
  for (const c of rest) {
    const top = stack.at(-1);
    if (c === "{" || c === "[") {
      stack.push({ path: at, kind: c, entry: 1 });
      at = c === "[" ? join(at, "[1]") : at;
      value = c === "[";
      token = "";
    } else if ((c === "}" || c === "]") && top) {
      stack.pop();
      at = top.path;
      value = true;
      token = "";
    } else if (c === "," && top) {
      top.entry++;
      at = top.kind === "[" ? join(top.path, `[${top.entry}]`) : top.path;
      value = top.kind === "[";
      token = "";
    } else if (c === ":" && top?.kind === "{" && !value) {
      at = join(top.path, token.trim());
      value = true;
      token = "";
    } else {
      token += c;
    }
  }
  const typed = token.trimStart();
  return { as: value ? "value" : "key", path: at, typed, from: offset - typed.length };
}

/** complete lists what may stand at an offset. */
export function complete(
  text: string,
  offset: number,
  root: Schema,
  places: Places,
  parts: Iterable<Part>,
): Completion | null {
  const here = spot(text, offset);
  if (here.typed.includes("#")) return null;
  const options = here.as === "key" ? keys(here, root, places) : values(here, root, places, parts);
  if (options.length === 0) return null;
  const unit = options[0]!.sort === "unit";
  return { from: unit ? offset - (/[^\s\d]*$/.exec(here.typed)?.[0].length ?? 0) : here.from, options };
}

function keys(here: Spot, root: Schema, places: Places): Option[] {
  const about = describe(root, here.path);
  if (!about) return [];
  const there = new Set(places.keys(here.path).filter((k) => k !== here.typed));
  const named = offered(places, join(here.path, "x"), "key").map((name) => option(name, `${name}: `, "name", "", ""));
  if (named.length > 0) return named.filter((o) => !there.has(o.label));
  return Object.entries(about.schema.properties ?? {})
    .filter(([key]) => !there.has(key))
    .map(([key, s]) => {
      const inner = resolve(s, root);
      const needed = about.schema.required?.includes(key) ?? false;
      const fallback = shownDefault(inner);
      const detail = needed ? "needed" : fallback && `by default ${fallback}`;
      return option(key, inner.properties ? `${key}:` : `${key}: `, "key", detail, inner.description ?? "");
    });
}

function values(here: Spot, root: Schema, places: Places, parts: Iterable<Part>): Option[] {
  const about = describe(root, here.path);
  if (!about) return [];
  const { schema } = about;
  const kinds = schema["x-part"];
  const out: Option[] = [];
  if (kinds) {
    for (const p of parts) {
      if (!kinds.includes(p.kind)) continue;
      out.push(
        option(
          p.id,
          p.id,
          "part",
          p.facts
            .slice(0, 2)
            .map(([, v]) => v)
            .join(", "),
          partHelp(p),
        ),
      );
    }
    if (schema.default === "none") out.push(option("none", "none", "choice", "", ""));
    return out;
  }
  for (const word of choices(schema)) {
    out.push(option(word, word, "choice", word === shownDefault(schema) ? "by default" : "", ""));
  }
  for (const name of offered(places, here.path, "value")) out.push(option(name, name, "name", "", ""));
  if (out.length === 0 && /^[-+]?[\d.]+(e[-+]?\d+)?\s*[^\s\d]*$/i.test(here.typed)) {
    const gap = /\s/.test(here.typed) ? "" : " ";
    for (const u of units(schema)) out.push(option(u, gap + u, "unit", "", ""));
  }
  return out;
}

function partHelp(p: Part): string {
  const facts = p.facts.map(([label, value]) => `${label}: ${value}`).join("\n");
  return `${p.title}\n${facts}${p.representative ? "\nrepresentative data" : ""}`;
}

function option(label: string, insert: string, sort: Option["sort"], detail: string, help: string): Option {
  return { label, insert, sort, detail, help };
}

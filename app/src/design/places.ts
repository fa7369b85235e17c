// Where in the text a path of the design stands, and which path stands at a
// place of the text.

import { isMap, isScalar, isSeq, type Node, parseDocument, type Scalar, type YAMLMap } from "yaml";
import { join } from "./schema";

/** Span is from..to, in characters of the text, to not included. */
export interface Span {
  from: number;
  to: number;
}

/** Place is one value of the design with its key. */
export interface Place {
  path: string;
  key: Span | null;
  value: Span;
  /** from the key to the end of the value */
  whole: Span;
  node: Node | null;
}

export class Places {
  /** in the order of the text; what holds others stands before them */
  readonly all: readonly Place[];
  /** the first reason why the text cannot be read */
  readonly fault: { message: string; at: number } | null;
  readonly root: Node | null;
  private readonly byPath: Map<string, Place>;

  constructor(readonly text: string) {
    const document = parseDocument(text, { uniqueKeys: false, logLevel: "silent", version: "1.2" });
    const error = document.errors[0];
    this.fault = error ? { message: error.message.split("\n")[0] ?? error.message, at: error.pos[0] } : null;
    this.root = document.contents as Node | null;
    const found: Place[] = [];
    if (this.root) collect(this.root, "", text, found);
    this.all = found;
    this.byPath = new Map(found.map((p) => [p.path, p]));
  }

  of(path: string): Place | undefined {
    return this.byPath.get(path);
  }

  /** near is the place of a path, or of the closest thing that holds it. */
  near(path: string): Place | undefined {
    for (let p = path; p !== ""; p = parent(p)) {
      const place = this.byPath.get(p);
      if (place) return place;
    }
    return undefined;
  }

  /** at is the innermost place at an offset, "" outside of all. */
  at(offset: number): string {
    let best = "";
    for (const p of this.all) {
      if (p.whole.from > offset) break;
      if (offset <= p.whole.to) best = p.path;
    }
    return best;
  }

  /** written is the value of a path as it stands in the text, undefined where it is absent. */
  written(path: string): string | undefined {
    const place = this.byPath.get(path);
    return place && source(this.text, place);
  }

  /** keys of a group or of names, in the order of the text. */
  keys(path: string): string[] {
    const node = path === "" ? this.root : this.byPath.get(path)?.node;
    return isMap(node) ? node.items.map((pair) => keyText(pair.key)) : [];
  }

  /** count of the entries of a list. */
  count(path: string): number {
    const node = this.byPath.get(path)?.node;
    return isSeq(node) ? node.items.length : 0;
  }
}

/** parent takes the last step off a path. */
export function parent(path: string): string {
  return path.replace(/(\.[^.[\]]+|\[\d+\])$|^[^.[\]]+$/, "");
}

function keyText(key: unknown): string {
  return isScalar(key) ? String((key as Scalar).source ?? key.value) : String(key);
}

function span(node: Node | null | undefined): Span | null {
  return node?.range ? { from: node.range[0], to: node.range[1] } : null;
}

function collect(node: Node, path: string, text: string, into: Place[]): void {
  if (isMap(node)) collectMap(node, path, text, into);
  if (isSeq(node)) {
    node.items.forEach((item, i) => {
      const value = span(item as Node);
      const at = join(path, `[${i + 1}]`);
      if (!value) return;
      into.push({ path: at, key: null, value, whole: value, node: item as Node });
      collect(item as Node, at, text, into);
    });
  }
}

function collectMap(node: YAMLMap, path: string, text: string, into: Place[]): void {
  for (const pair of node.items) {
    const key = span(pair.key as Node);
    if (!key) continue;
    const at = join(path, keyText(pair.key));
    const value = pair.value as Node | null;
    const own = trimmed(span(value) ?? { from: key.to, to: key.to }, text);
    into.push({ path: at, key, value: own, whole: { from: key.from, to: Math.max(own.to, key.to) }, node: value });
    if (value) collect(value, at, text, into);
  }
}

// A block ends where its last line ends, not at the blank lines behind it.
function trimmed(s: Span, text: string): Span {
  let to = s.to;
  while (to > s.from && /\s/.test(text[to - 1]!)) to--;
  return { from: s.from, to };
}

function source(text: string, place: Place): string {
  if (isScalar(place.node)) {
    if (place.node.type === "PLAIN") return String(place.node.source ?? "");
    return String(place.node.value ?? "");
  }
  return text.slice(place.value.from, place.value.to);
}

/**
 * offset of a line and column, both from 1; a column counts code points, as the
 * program's diagnostics do, while the text counts UTF-16 units.
 */
export function offset(text: string, line: number, column: number): number {
  let start = 0;
  for (let n = 1; n < line; n++) {
    const feed = text.indexOf("\n", start);
    if (feed < 0) return text.length;
    start = feed + 1;
  }
  let at = start;
  for (let n = 1; n < column && at < text.length && text[at] !== "\n"; n++) {
    at += (text.codePointAt(at) ?? 0) > 0xffff ? 2 : 1;
  }
  return at;
}

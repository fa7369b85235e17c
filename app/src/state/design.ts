// The design as the panes read it: places in the text, the tree of fields, the
// mistakes by place. A text that cannot be read leaves the last tree in sight.

import { computed, signal } from "@preact/signals";
import type { Diagnostic } from "../api/types";
import { type Field, outline, reuse } from "../design/outline";
import { offset, Places } from "../design/places";
import { file, text } from "./doc";
import { diagnostics } from "./judgement";
import { schema } from "./schema";

/** places of the text as it stands; with a fault where it cannot be read. */
export const places = computed(() => new Places(text.value));

let last = { file: "", places: new Places("") };

/** readable is the newest text that could be read. */
export const readable = computed(() => {
  const now = places.value;
  if (now.fault === null && now.root !== null) last = { file: file.value, places: now };
  else if (last.file !== file.value) last = { file: file.value, places: now };
  return last.places;
});

let fields: Field[] = [];
export const tree = computed<Field[]>(() => {
  const next = schema.value ? outline(readable.value, schema.value) : [];
  fields = reuse(
    fields,
    next.filter((f) => f.key !== "spanwright"),
  );
  return fields;
});

const none: ReadonlyMap<string, Diagnostic[]> = new Map();

/** mistakes by the path that they speak of. */
export const mistakes = computed<ReadonlyMap<string, Diagnostic[]>>(() => {
  if (diagnostics.value.length === 0) return none;
  const out = new Map<string, Diagnostic[]>();
  const here = readable.value;
  for (const d of diagnostics.value) {
    if (d.file && file.value && !file.value.endsWith(d.file) && !d.file.endsWith(file.value)) continue;
    const path = d.path || here.at(offset(here.text, d.line, d.column));
    out.set(path, [...(out.get(path) ?? []), d]);
  }
  return out;
});

/** pointed is the field whose help is shown. */
export const pointed = signal<Field | null>(null);

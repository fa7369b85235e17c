// The design that is open: its working copy, and the text as this page shows it.

import { batch, computed, signal } from "@preact/signals";
import { ApiError, get, post } from "../api/client";
import type { Doc, DocEvent, Edit } from "../api/types";
import { type Conflict, Sync } from "./sync";

/** windowId tells this window's changes from those of others. */
export const windowId = crypto.randomUUID();

/** doc is the working copy as the server last told it; null before anything is open. */
export const doc = signal<Doc | null>(null);
/** text is what the page shows; it is ahead of doc.text while the user types. */
export const text = signal("");
export const file = computed(() => doc.value?.file ?? "");
export const ahead = computed(() => doc.value !== null && text.value !== doc.value.text);
export const link = signal<"ok" | "gone">("ok");
export const conflict = signal<Conflict | null>(null);
/** diskConflict: the file changed on disk since it was opened or saved. */
export const diskConflict = signal<{ doc: Doc; disk: string } | null>(null);
/** message is the last thing the user should know, until it is put away. */
export const message = signal<{ tone: "plain" | "wrong"; text: string } | null>(null);

let sync: Sync | null = null;

let putAway: ReturnType<typeof setTimeout> | undefined;

/** say tells the user something; plain news go by themselves, what is wrong stays. */
export function say(words: string, tone: "plain" | "wrong" = "plain"): void {
  clearTimeout(putAway);
  message.value = { tone, text: words };
  if (tone === "plain") {
    putAway = setTimeout(() => {
      message.value = null;
    }, 4000);
  }
}

/** open shows a design; the one before is let go after its typing was sent. */
export async function open(name: string): Promise<void> {
  await sync?.flush();
  const first = await get<Doc>("doc", { file: name });
  sync?.close();
  batch(() => {
    conflict.value = null;
    diskConflict.value = null;
    sync = new Sync(transport(name), sight, first);
  });
  history.replaceState(null, "", `#file=${encodeURIComponent(name)}`);
}

const transport = (name: string) => ({
  read: () => get<Doc>("doc", { file: name }),
  text: (base: number, content: string) => post<Doc>("doc/text", { file: name, base, text: content, window: windowId }),
  edit: (base: number, edits: Edit[]) => post<Doc>("doc/edit", { file: name, base, edits, window: windowId }),
  step: (call: "undo" | "redo", base: number) => post<Doc>(`doc/${call}`, { file: name, base, window: windowId }),
});

/** same: the news of a change that this window made itself say nothing new. */
const same = (a: Doc, b: Doc | null): boolean =>
  b !== null && (Object.keys(a) as (keyof Doc)[]).every((key) => a[key] === b[key]);

const sight = {
  known: (d: Doc) => {
    // A change arrived since: what went wrong before is over.
    if (d.version !== doc.peek()?.version && message.peek()?.tone === "wrong") message.value = null;
    if (!same(d, doc.peek())) doc.value = d;
  },
  local: (t: string) => {
    text.value = t;
  },
  conflict: (c: Conflict | null) => {
    conflict.value = c;
  },
  link: (l: "ok" | "gone") => {
    link.value = l;
  },
  refused: (words: string) => say(words, "wrong"),
};

export const type = (content: string): void => sync?.type(content);
export const edit = (edits: Edit[]): Promise<boolean> => sync?.edit(edits) ?? Promise.resolve(false);
export const undo = (): Promise<boolean> => sync?.step("undo") ?? Promise.resolve(false);
export const redo = (): Promise<boolean> => sync?.step("redo") ?? Promise.resolve(false);
export const flush = (): Promise<boolean> => sync?.flush() ?? Promise.resolve(true);
export const refresh = (): Promise<boolean> => sync?.refresh() ?? Promise.resolve(false);
export const heard = (event: DocEvent): void => sync?.heard(event);
export const settle = (chosen: string): void => sync?.settle(chosen);

/** change runs any call that answers with the new working copy. */
export function change(call: string, body: Record<string, unknown>): Promise<boolean> {
  const name = file.value;
  return (
    sync?.run((base) => post<Doc>(call, { file: name, base, window: windowId, ...body })) ?? Promise.resolve(false)
  );
}

/** save writes the working copy to its file; mine overwrites what changed on disk. */
export async function save(mine = false): Promise<void> {
  const name = file.value;
  const done = await sync?.run(async (base) => {
    try {
      return await post<Doc>("doc/save", { file: name, base, ...(mine && { mine }) });
    } catch (e) {
      if (!(e instanceof ApiError && e.code === "disk-changed" && e.body.doc)) throw e;
      diskConflict.value = { doc: e.body.doc, disk: e.body.disk_text ?? "" };
      return e.body.doc;
    }
  });
  if (done && !diskConflict.value) say("Saved.");
}

/** reload takes the text on disk as a new change, which can be undone. */
export async function reload(): Promise<void> {
  diskConflict.value = null;
  await change("doc/reload", {});
}

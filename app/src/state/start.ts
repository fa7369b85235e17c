// The beginning: which design is open, and news from the server.

import { effect, signal } from "@preact/signals";
import { get } from "../api/client";
import { listen } from "../api/events";
import type { FileList, Part } from "../api/types";
import { doc, file, heard, link, open, refresh, say, windowId } from "./doc";
import { heardJob, readJobs } from "./jobs";
import { judge, progress } from "./judgement";
import { readSchema } from "./schema";

export const files = signal<FileList | null>(null);
/** phase: what the page can show. */
export const phase = signal<"starting" | "ready" | "empty" | "failed">("starting");
export const failure = signal("");
export const parts = signal<ReadonlyMap<string, Part>>(new Map());

export async function readFiles(): Promise<void> {
  files.value = await get<FileList>("files");
}

export async function start(): Promise<void> {
  follow();
  const asked = new URLSearchParams(location.hash.slice(1)).get("file");
  const opened = asked ? show(asked) : Promise.resolve(); // text and numbers wait for neither list nor schema
  try {
    await Promise.all([readFiles(), readSchema()]);
  } catch (e) {
    failure.value = e instanceof Error ? e.message : String(e);
    phase.value = "failed";
    return;
  }
  await opened;
  if (asked) return;
  const first = files.value?.files.find((f) => f.designs)?.file;
  if (first) await show(first);
  else phase.value = "empty";
}

/** show opens a design of the folder. */
export async function show(name: string): Promise<void> {
  try {
    await open(name);
    phase.value = "ready";
  } catch (e) {
    say(e instanceof Error ? e.message : String(e), "wrong");
    if (phase.value !== "ready") phase.value = "empty";
  }
}

let following = false;

function follow(): void {
  if (following) return;
  following = true;
  effect(() => {
    const name = file.value;
    if (!name) return;
    let lost = false;
    void readParts(name);
    void readJobs(name).catch(() => undefined);
    return listen(name, windowId, {
      doc: heard,
      judged: () => undefined,
      judging: (e) => {
        if (e.version === doc.peek()?.version) progress.value = e;
      },
      job: heardJob,
      open: () => {
        if (lost) void refresh();
        lost = false;
      },
      closed: () => {
        lost = true;
      },
    });
  });
  effect(() => {
    const d = doc.value;
    if (d && link.value === "ok") void judge(d.file, d.version);
  });
}

async function readParts(name: string): Promise<void> {
  try {
    const list = await get<{ parts: Part[] | null }>("parts", { file: name });
    parts.value = new Map((list.parts ?? []).map((p) => [p.id, p]));
  } catch {
    parts.value = new Map();
  }
}

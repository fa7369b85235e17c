// Long work in the server: remedies and the hand-over pack.

import { signal } from "@preact/signals";
import { get, post, remove } from "../api/client";
import type { Job } from "../api/types";
import { doc, file, text } from "./doc";

/** jobs by id, newest state of each. */
export const jobs = signal<ReadonlyMap<string, Job>>(new Map());

export function heardJob(job: Job): void {
  const next = new Map(jobs.value);
  next.set(job.id, job);
  jobs.value = next;
}

/** begunOn is the text that each job of this window was begun on, by its id. */
const begunOn = signal<ReadonlyMap<string, string>>(new Map());

/** ageOf says whether a job speaks of the text as it stands; unknown where another window, or an earlier one, began it. */
export function ageOf(job: Job): "current" | "older" | "unknown" {
  const then = begunOn.value.get(job.id);
  if (then === undefined) return "unknown";
  return then === text.value ? "current" : "older";
}

export async function startJob(kind: Job["kind"], options: Record<string, unknown> = {}): Promise<Job> {
  const begun = doc.peek()?.text ?? "";
  const job = await post<Job>("jobs", { file: file.value, kind, options });
  begunOn.value = new Map([...begunOn.value, [job.id, begun]]);
  heardJob(job);
  return job;
}

export async function cancelJob(id: string): Promise<void> {
  const job = await remove<Job | undefined>(`jobs/${encodeURIComponent(id)}`);
  if (job) heardJob(job);
}

export async function readJobs(name: string): Promise<void> {
  const list = await get<{ jobs: Job[] | null }>("jobs", { file: name });
  jobs.value = new Map((list.jobs ?? []).map((j) => [j.id, j]));
}

/** latest is the newest job of a kind. */
export function latest(kind: Job["kind"]): Job | undefined {
  const all = [...jobs.value.values()].filter((j) => j.kind === kind);
  return all.sort((a, b) => a.started.localeCompare(b.started)).at(-1);
}

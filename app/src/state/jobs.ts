// Long work in the server: remedies and the hand-over pack.

import { signal } from "@preact/signals";
import { get, post, remove } from "../api/client";
import type { Job } from "../api/types";
import { file } from "./doc";

/** jobs by id, newest state of each. */
export const jobs = signal<ReadonlyMap<string, Job>>(new Map());

export function heardJob(job: Job): void {
  const next = new Map(jobs.value);
  next.set(job.id, job);
  jobs.value = next;
}

export async function startJob(kind: Job["kind"], options: Record<string, unknown> = {}): Promise<Job> {
  const job = await post<Job>("jobs", { file: file.value, kind, options });
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

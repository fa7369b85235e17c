// News from the server. A hidden window lets its connection go, because a
// browser grants only a few to one address, and catches up when it is seen.

import { address } from "./client";
import type { DocEvent, Job, JudgedEvent, JudgingEvent } from "./types";

export interface Listener {
  doc(e: DocEvent): void;
  judged(e: JudgedEvent): void;
  judging(e: JudgingEvent): void;
  job(e: Job): void;
  /** open is called when news flow (again), closed when they do not. */
  open(): void;
  closed(): void;
}

/** listen returns the function that ends it. */
export function listen(file: string, windowId: string, to: Listener): () => void {
  let source: EventSource | null = null;
  const start = () => {
    source = new EventSource(address("events", { file, window: windowId }));
    source.addEventListener("open", () => to.open());
    source.addEventListener("error", () => to.closed());
    source.addEventListener("doc", (e) => to.doc(JSON.parse((e as MessageEvent<string>).data)));
    source.addEventListener("judged", (e) => to.judged(JSON.parse((e as MessageEvent<string>).data)));
    source.addEventListener("judging", (e) => to.judging(JSON.parse((e as MessageEvent<string>).data)));
    source.addEventListener("job", (e) => to.job(JSON.parse((e as MessageEvent<string>).data)));
  };
  const stop = () => {
    source?.close();
    source = null;
  };
  const seen = () => {
    if (document.hidden) stop();
    else if (!source) start();
  };
  document.addEventListener("visibilitychange", seen);
  start();
  return () => {
    document.removeEventListener("visibilitychange", seen);
    stop();
  };
}

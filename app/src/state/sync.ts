// The page's copy of a design and the working copy in the server are kept the
// same: one request at a time, typing first, and what other windows changed is
// merged in. Nothing typed is lost when the server is away.

import { ApiError, Unreachable } from "../api/client";
import type { Doc, DocEvent, Edit } from "../api/types";
import { merge } from "./merge";

/** Transport is what the copy needs from the server. */
export interface Transport {
  read(): Promise<Doc>;
  text(base: number, text: string): Promise<Doc>;
  edit(base: number, edits: Edit[]): Promise<Doc>;
  step(call: "undo" | "redo", base: number): Promise<Doc>;
}

export interface Conflict {
  base: string;
  mine: string;
  theirs: Doc;
  merged: string;
  clashes: number;
}

/** Sight is told what the page shall show. */
export interface Sight {
  known(doc: Doc): void;
  local(text: string): void;
  conflict(c: Conflict | null): void;
  link(state: "ok" | "gone"): void;
  refused(message: string): void;
}

export class Sync {
  private known: Doc;
  private local: string;
  private chain: Promise<unknown> = Promise.resolve();
  private timer: ReturnType<typeof setTimeout> | undefined;
  private clash: Conflict | null = null;
  private newest = 0;
  private closed = false;

  constructor(
    private readonly transport: Transport,
    private readonly sight: Sight,
    first: Doc,
    private readonly pause = 60,
    private readonly retry = 1500,
  ) {
    this.known = first;
    this.local = first.text;
    this.newest = first.version;
    sight.known(first);
    sight.local(first.text);
  }

  /** dirty: the page holds text that the server has not. */
  get dirty(): boolean {
    return this.local !== this.known.text;
  }

  /** type takes what the user wrote; it is sent after a short pause. */
  type(text: string): void {
    this.local = text;
    this.sight.local(text);
    this.later(this.pause);
  }

  /** edit changes fields of the design; the text around them stays. */
  edit(edits: Edit[]): Promise<boolean> {
    return this.run(() => this.transport.edit(this.known.version, edits));
  }

  step(call: "undo" | "redo"): Promise<boolean> {
    return this.run(() => this.transport.step(call, this.known.version));
  }

  /** run sends what was typed, then does one thing that answers with the new Doc. */
  run(act: (base: number) => Promise<Doc>): Promise<boolean> {
    return this.enqueue(async () => {
      await this.push();
      if (this.clash) return false;
      try {
        this.accept(await act(this.known.version));
      } catch (e) {
        if (!(e instanceof ApiError && e.code === "conflict" && e.body.doc)) throw e;
        this.accept(e.body.doc);
        this.accept(await act(this.known.version));
      }
      return true;
    });
  }

  /** flush sends what was typed now. */
  flush(): Promise<boolean> {
    return this.enqueue(async () => {
      await this.push();
      return !this.dirty;
    });
  }

  /** heard takes the news that the working copy changed. */
  heard(event: DocEvent): void {
    this.newest = Math.max(this.newest, event.version);
    void this.enqueue(async () => {
      if (event.version === this.known.version) {
        this.know({ ...event, text: this.known.text });
      } else if (this.newest > this.known.version) {
        this.accept(await this.transport.read());
      }
      return true;
    });
  }

  /** refresh reads the working copy again, e.g. after the connection was lost. */
  refresh(): Promise<boolean> {
    return this.enqueue(async () => {
      this.accept(await this.transport.read());
      await this.push();
      return true;
    });
  }

  /** settle ends a conflict with the text that the user chose. */
  settle(text: string): void {
    const clash = this.clash;
    if (!clash) return;
    this.clash = null;
    this.sight.conflict(null);
    this.know(clash.theirs);
    this.show(text);
    void this.flush();
  }

  close(): void {
    this.closed = true;
    clearTimeout(this.timer);
  }

  private later(ms: number): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.flush(), ms);
  }

  private enqueue(job: () => Promise<boolean>): Promise<boolean> {
    const next = this.chain.then(async () => {
      if (this.closed) return false;
      try {
        const done = await job();
        this.sight.link("ok");
        return done;
      } catch (e) {
        this.failed(e);
        return false;
      }
    });
    this.chain = next;
    return next;
  }

  private failed(e: unknown): void {
    if (e instanceof Unreachable) {
      this.sight.link("gone");
      if (!this.closed) this.later(this.retry);
      return;
    }
    if (e instanceof ApiError && e.body.doc && e.code !== "conflict") this.accept(e.body.doc);
    this.sight.refused(e instanceof Error ? e.message : String(e));
  }

  private async push(): Promise<void> {
    clearTimeout(this.timer);
    while (this.dirty && !this.clash) {
      const sent = this.local;
      try {
        const doc = await this.transport.text(this.known.version, sent);
        this.know(doc);
        if (doc.text !== sent && this.local === sent) this.show(doc.text);
      } catch (e) {
        if (!(e instanceof ApiError && e.code === "conflict" && e.body.doc)) throw e;
        this.accept(e.body.doc);
      }
    }
  }

  // A newer working copy: what the page holds besides is merged into it.
  private accept(doc: Doc): void {
    if (this.clash) {
      this.clash = { ...this.clash, theirs: doc };
      this.sight.conflict(this.clash);
      return;
    }
    const joined = merge(this.known.text, this.local, doc.text);
    if (joined.clashes > 0) {
      this.clash = {
        base: this.known.text,
        mine: this.local,
        theirs: doc,
        merged: joined.text,
        clashes: joined.clashes,
      };
      this.sight.conflict(this.clash);
      return;
    }
    this.know(doc);
    if (joined.text !== this.local) this.show(joined.text);
  }

  private know(doc: Doc): void {
    this.known = doc;
    this.newest = Math.max(this.newest, doc.version);
    this.sight.known(doc);
  }

  private show(text: string): void {
    this.local = text;
    this.sight.local(text);
  }
}

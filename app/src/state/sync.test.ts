import { describe, expect, it, vi } from "vitest";
import { ApiError, Unreachable } from "../api/client";
import type { Check, Doc, Edit } from "../api/types";
import { changes, merge } from "./merge";
import { type Conflict, Sync } from "./sync";

/** Desk is a server with one design, which other windows may change. */
class Desk {
  doc: Doc;
  away = false;
  calls: string[] = [];

  constructor(text: string) {
    this.doc = {
      file: "a.yaml",
      text,
      version: 1,
      saved: true,
      disk: "same",
      undo: 0,
      redo: 0,
      edited_by: "",
      recovered: false,
    };
  }

  other(text: string): void {
    this.doc = { ...this.doc, text, version: this.doc.version + 1, edited_by: "other" };
  }

  private async put(call: string, base: number, text: string): Promise<Doc> {
    await Promise.resolve();
    this.calls.push(call);
    if (this.away) throw new Unreachable("gone");
    if (base !== this.doc.version) throw new ApiError(409, "conflict", "changed", { doc: this.doc });
    this.doc = { ...this.doc, text, version: base + 1, saved: false, edited_by: "me" };
    return this.doc;
  }

  transport = {
    read: async () => {
      if (this.away) throw new Unreachable("gone");
      return this.doc;
    },
    text: (base: number, text: string) => this.put("text", base, text),
    edit: (base: number, edits: Edit[]) => this.put("edit", base, `${this.doc.text}${edits[0]!.value}\n`),
    step: (call: "undo" | "redo", base: number) => this.put(call, base, this.doc.text),
  };
}

function page(desk: Desk) {
  const seen = { known: desk.doc, local: "", conflict: null as Conflict | null, link: "ok", refused: "" };
  const sync = new Sync(
    desk.transport,
    {
      known: (d) => (seen.known = d),
      local: (t) => (seen.local = t),
      conflict: (c) => (seen.conflict = c),
      link: (l) => (seen.link = l),
      refused: (m) => (seen.refused = m),
    },
    desk.doc,
    5,
    10,
  );
  return { sync, seen };
}

const base = "one\ntwo\nthree\nfour\n";

describe("the page's copy", () => {
  it("sends typing once it pauses, and then agrees with the server", async () => {
    const desk = new Desk(base);
    const { sync, seen } = page(desk);
    sync.type("one\n2");
    sync.type("one\n2\nthree\nfour\n");
    await vi.waitFor(() => expect(desk.doc.text).toBe("one\n2\nthree\nfour\n"));
    expect(desk.calls).toEqual(["text"]);
    expect(seen.known.version).toBe(2);
  });

  it("sends typing before a field is changed", async () => {
    const desk = new Desk(base);
    const { sync, seen } = page(desk);
    sync.type("zero\n");
    await sync.edit([{ path: "a", value: "five" }]);
    expect(desk.calls).toEqual(["text", "edit"]);
    expect(seen.local).toBe("zero\nfive\n");
  });

  it("joins what another window wrote elsewhere", async () => {
    const desk = new Desk(base);
    const { sync, seen } = page(desk);
    sync.type("1\ntwo\nthree\nfour\n");
    desk.other("one\ntwo\nthree\n4\n");
    await sync.flush();
    expect(desk.doc.text).toBe("1\ntwo\nthree\n4\n");
    expect(seen.local).toBe(desk.doc.text);
    expect(seen.conflict).toBeNull();
  });

  it("asks where both wrote in the same line, and sends what was chosen", async () => {
    const desk = new Desk(base);
    const { sync, seen } = page(desk);
    sync.type("mine\ntwo\nthree\nfour\n");
    desk.other("theirs\ntwo\nthree\nfour\n");
    await sync.flush();
    expect(seen.conflict).toMatchObject({ clashes: 1, mine: "mine\ntwo\nthree\nfour\n" });
    expect(desk.doc.text).toContain("theirs");
    sync.settle(seen.conflict!.mine);
    await sync.flush();
    expect(desk.doc.text).toBe("mine\ntwo\nthree\nfour\n");
    expect(seen.conflict).toBeNull();
  });

  it("follows another window while nothing is typed here", async () => {
    const desk = new Desk(base);
    const { sync, seen } = page(desk);
    desk.other("other\n");
    sync.heard(desk.doc);
    await vi.waitFor(() => expect(seen.local).toBe("other\n"));
    expect(desk.calls).toEqual([]);
  });

  it("takes news of saving without reading the text again", async () => {
    const desk = new Desk(base);
    const { sync, seen } = page(desk);
    sync.heard({ ...desk.doc, disk: "changed" });
    await sync.flush();
    expect(seen.known).toMatchObject({ disk: "changed", text: base });
  });

  it("keeps what was typed while the server is away, and sends it afterwards", async () => {
    const desk = new Desk(base);
    const { sync, seen } = page(desk);
    desk.away = true;
    sync.type("kept\n");
    await vi.waitFor(() => expect(seen.link).toBe("gone"));
    expect(seen.local).toBe("kept\n");
    desk.away = false;
    await vi.waitFor(() => expect(desk.doc.text).toBe("kept\n"));
    await vi.waitFor(() => expect(seen.link).toBe("ok"));
  });

  it("does a step on what is newest when another window was faster", async () => {
    const desk = new Desk(base);
    const { sync, seen } = page(desk);
    desk.other("other\n");
    expect(await sync.edit([{ path: "a", value: "five" }])).toBe(true);
    expect(seen.local).toBe("other\nfive\n");
  });
});

describe("merge", () => {
  it.each([
    ["a\nb\nc", "a\nB\nc", "a\nb\nC!", 1],
    ["a\nb\nc\nd\ne", "A\nb\nc\nd\ne", "a\nb\nc\nd\nE", 0],
    ["a\nb", "a\nb", "x\nb", 0],
    ["a\nb", "x\nb", "x\nb", 0],
  ])("of %j with %j and %j clashes %4$i times", (b, mine, theirs, clashes) => {
    const got = merge(b, mine, theirs);
    expect(got.clashes).toBe(clashes);
    if (clashes === 0 && mine !== theirs && theirs !== b && mine !== b) {
      expect(merge(b, theirs, mine).text).toBe(got.text);
    }
  });
});

describe("changes", () => {
  const texts = [
    "",
    "a",
    "a\n",
    "a\nb\nc\n",
    "a\nB\nc\n",
    "x\na\nb\nc",
    "c\n",
    "a\nb\nc\nd\n\n",
    "\n",
    "b\nc\n",
    "a\nc\n",
  ];
  it("turn every text into every other", () => {
    for (const from of texts) {
      for (const to of texts) {
        let out = from;
        for (const c of changes(from, to).toReversed()) out = out.slice(0, c.from) + c.insert + out.slice(c.to);
        expect(out, `${JSON.stringify(from)} to ${JSON.stringify(to)}`).toBe(to);
      }
    }
  });
  it("leave the equal ends of a line alone", () => {
    expect(changes("a\nspan: 4.9 m\nb", "a\nspan: 5.2 m\nb")).toEqual([{ from: 8, to: 11, insert: "5.2" }]);
  });
});

describe("reconcile", () => {
  it("keeps the object of every row that did not change", async () => {
    vi.stubGlobal("crypto", { randomUUID: () => "w" });
    const { reconcile } = await import("./judgement");
    const row = (id: string, value: number): Check => ({
      id,
      kind: id,
      group: "g",
      subject: "s",
      title: "t",
      verdict: "ok",
      value,
      limit: 2,
      unit: "",
      sense: "max",
      utilisation: value / 2,
      shown: { value: `${value}`, limit: "2" },
      part: null,
    });
    const old = [row("a", 1), row("b", 1)];
    const next = reconcile(old, [row("b", 1), row("a", 1.5)]);
    expect(next[0]).toBe(old[1]);
    expect(next[1]).not.toBe(old[0]);
    expect(reconcile(old, [row("a", 1), row("b", 1)])).toBe(old);
  });
});

// Two windows change one text: what can be joined line by line is joined, and
// what cannot is shown to the user.

import { diff3Merge, diffPatch } from "node-diff3";

/** Merged is a joined text; clashes counts the places where both changed the same lines. */
export interface Merged {
  text: string;
  clashes: number;
}

const lines = (text: string): string[] => text.split("\n");

/**
 * merge joins mine and theirs, both made from base. Where both changed the same
 * lines in different ways, mine is kept and the place is counted.
 */
export function merge(base: string, mine: string, theirs: string): Merged {
  if (mine === base || mine === theirs) return { text: theirs, clashes: 0 };
  if (theirs === base) return { text: mine, clashes: 0 };
  const out: string[] = [];
  let clashes = 0;
  for (const block of diff3Merge(lines(mine), lines(base), lines(theirs), { excludeFalseConflicts: true })) {
    if (block.ok) {
      out.push(...block.ok);
    } else if (block.conflict) {
      clashes++;
      out.push(...block.conflict.a);
    }
  }
  return { text: out.join("\n"), clashes };
}

/** TextChange replaces characters from..to of the old text. */
export interface TextChange {
  from: number;
  to: number;
  insert: string;
}

/**
 * changes lists what turns one text into another, in the places of the old
 * text, in order and apart from each other. Within a changed block of lines the
 * equal ends are left alone, so that a cursor beside the change stays there.
 */
export function changes(from: string, to: string): TextChange[] {
  if (from === to) return [];
  const old = lines(from);
  const starts = [0];
  for (const line of old) starts.push(starts.at(-1)! + line.length + 1);
  const place = (line: number): number => Math.min(starts[line]!, from.length);
  return diffPatch(old, lines(to)).map((patch) => {
    const first = patch.buffer1.offset;
    const last = first + patch.buffer1.length;
    const a = place(first);
    const b = place(last);
    let insert = patch.buffer2.chunk.map((line) => `${line}\n`).join("");
    if (last >= old.length) return atEnd(from, a, insert, patch.buffer1.length);
    let begin = a;
    let end = b;
    while (begin < end && insert.length > 0 && from[begin] === insert[0]) {
      begin++;
      insert = insert.slice(1);
    }
    while (end > begin && insert.length > 0 && from[end - 1] === insert.at(-1)) {
      end--;
      insert = insert.slice(0, -1);
    }
    return { from: begin, to: end, insert };
  });
}

// The last line has no line feed of its own: the one before it takes part.
function atEnd(from: string, start: number, insert: string, removed: number): TextChange {
  const body = insert.slice(0, -1);
  if (removed === 0) return { from: from.length, to: from.length, insert: insert === "" ? "" : `\n${body}` };
  if (insert === "") return { from: Math.max(0, start - 1), to: from.length, insert: "" };
  return { from: start, to: from.length, insert: body };
}

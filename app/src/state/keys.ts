// Keys that work everywhere on the page. The list that `?` opens is made from
// the same table.

import { signal } from "@preact/signals";
import { redo, save, undo } from "./doc";
import { bench } from "./pose";
import { change, settings } from "./settings";

/** column is the pane that a narrow window shows. */
export const column = signal<"description" | "machine" | "bench" | "ledger">("machine");
/** dialog is the one that is open, "" for none. */
export const dialog = signal<"" | "keys" | "files" | "new" | "pack">("");

export interface Key {
  keys: string;
  does: string;
  where: string;
}

interface Bound extends Key {
  /** when it applies; keys without Ctrl are left alone while the user types */
  hit: (e: KeyboardEvent) => boolean;
  act: () => void;
}

const plain = (e: KeyboardEvent) => !e.ctrlKey && !e.metaKey && !e.altKey;
const ctrl = (e: KeyboardEvent) => (e.ctrlKey || e.metaKey) && !e.altKey;

const bound: Bound[] = [
  {
    keys: "Ctrl S",
    does: "save the file",
    where: "everywhere",
    hit: (e) => ctrl(e) && e.key === "s",
    act: () => void save(),
  },
  {
    keys: "Ctrl Z",
    does: "take the last change back",
    where: "everywhere",
    hit: (e) => ctrl(e) && !e.shiftKey && e.key.toLowerCase() === "z",
    act: () => void undo(),
  },
  {
    keys: "Ctrl Y, Ctrl Shift Z",
    does: "do it again",
    where: "everywhere",
    hit: (e) => ctrl(e) && (e.key === "y" || (e.shiftKey && e.key.toLowerCase() === "z")),
    act: () => void redo(),
  },
  { keys: "?", does: "this list", where: "everywhere", hit: (e) => plain(e) && e.key === "?", act: () => show("keys") },
  {
    keys: "1",
    does: "to the description",
    where: "everywhere",
    hit: (e) => plain(e) && e.key === "1",
    act: () => toPane("description"),
  },
  {
    keys: "2",
    does: "to the machine",
    where: "everywhere",
    hit: (e) => plain(e) && e.key === "2",
    act: () => toPane("machine"),
  },
  {
    keys: "3",
    does: "to the bench",
    where: "everywhere",
    hit: (e) => plain(e) && e.key === "3",
    act: () => toPane("bench"),
  },
  {
    keys: "4",
    does: "to the ledger",
    where: "everywhere",
    hit: (e) => plain(e) && e.key === "4",
    act: () => toPane("ledger"),
  },
  {
    keys: "T",
    does: "outline or text",
    where: "everywhere",
    hit: (e) => plain(e) && e.key === "t",
    act: () => change({ description: settings.value.description === "text" ? "outline" : "text", leftOpen: true }),
  },
  {
    keys: "/",
    does: "search the ledger",
    where: "everywhere",
    hit: (e) => plain(e) && e.key === "/",
    act: () => {
      const search = () => document.querySelector<HTMLInputElement>("#ledger-search");
      if (search()) return search()?.focus();
      toPane("ledger");
      requestAnimationFrame(() => search()?.focus());
    },
  },
  {
    keys: "O",
    does: "open another design",
    where: "everywhere",
    hit: (e) => plain(e) && e.key === "o",
    act: () => show("files"),
  },
  {
    keys: "V",
    does: "variants",
    where: "everywhere",
    hit: (e) => plain(e) && e.key === "v",
    act: () => toBench("variants"),
  },
  {
    keys: "R",
    does: "remedies",
    where: "everywhere",
    hit: (e) => plain(e) && e.key === "r",
    act: () => toBench("remedies"),
  },
];

/** more keys that panes answer themselves; shown in the list. */
const ofPanes: Key[] = [
  { keys: "↑ ↓ ← →", does: "turn; with Shift move", where: "drawing" },
  { keys: "+ -", does: "nearer, farther", where: "drawing" },
  { keys: "C X Y Z", does: "from the corner, front, side, above", where: "drawing" },
  { keys: "F, P, L", does: "whole machine, perspective, list of parts", where: "drawing" },
  { keys: "letters, Enter", does: "to a part by its name, choose it", where: "list of parts" },
  { keys: "Space, ← →", does: "play or stop, step; with Shift finer", where: "cycle" },
  { keys: "Page Up, Page Down", does: "to the step before, the next step", where: "cycle" },
  { keys: "↑ ↓ ← →, Enter", does: "walk over the map, go there", where: "work space" },
  { keys: "↑ ↓", does: "next, previous line", where: "ledger" },
  { keys: "Enter", does: "open or close the working", where: "ledger" },
  { keys: "M", does: "show on the machine", where: "ledger line" },
  { keys: "D", does: "show in the description", where: "ledger line" },
  { keys: "↑ ↓ ← →", does: "move; open and close sections", where: "outline" },
  { keys: "Ctrl Space", does: "what may stand here", where: "text" },
  { keys: "F8", does: "next mistake", where: "text" },
  { keys: "Esc, then Tab", does: "leave the text (Tab alone indents)", where: "text" },
  { keys: "← →, Enter", does: "move a dividing line; hide a pane", where: "dividers" },
];

export function keyList(): Key[] {
  return [...bound.map(({ keys, does, where }) => ({ keys, does, where })), ...ofPanes];
}

export function show(which: typeof dialog.value): void {
  dialog.value = which;
}

function toBench(which: typeof bench.value): void {
  bench.value = which;
  change({ benchOpen: true });
  column.value = "bench";
}

/** toPane moves the focus into a pane, opening it first. */
export function toPane(pane: typeof column.value): void {
  column.value = pane;
  if (pane === "description") change({ leftOpen: true });
  if (pane === "ledger") change({ rightOpen: true });
  if (pane === "bench") change({ benchOpen: true });
  const names = { description: "Description", machine: "Machine", bench: "Bench", ledger: "Ledger" };
  requestAnimationFrame(() => {
    const section = document.querySelector(`section[aria-label="${names[pane]}"], #Panes-panel`);
    section?.querySelector<HTMLElement>('[tabindex="0"], button, input, select, [contenteditable]')?.focus();
  });
}

function typing(e: KeyboardEvent): boolean {
  const at = e.composedPath()[0];
  return at instanceof HTMLElement && (at.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(at.tagName));
}

/** listenToKeys returns the function that ends it. */
export function listenToKeys(): () => void {
  const heard = (e: KeyboardEvent) => {
    if (e.defaultPrevented || document.querySelector("dialog[open]")) return;
    const key = bound.find((b) => b.hit(e));
    if (!key || (!ctrl(e) && typing(e))) return;
    e.preventDefault();
    key.act();
  };
  addEventListener("keydown", heard);
  return () => removeEventListener("keydown", heard);
}

// Numbers that several benches show, asked for when they are shown and asked
// again when the machine has changed.

import { effect, type Signal, signal, untracked } from "@preact/signals";
import { get, type Query } from "../../api/client";
import type { SpaceMap } from "../../api/types";
import { file } from "../../state/doc";
import { Latest } from "../machine/latest";
import { version } from "../machine/stage";

/** Asked is an answer that follows the machine: the last good one, and what went wrong since. */
export interface Asked<T> {
  answer: T | null;
  /** the answer belongs to what is shown now */
  fresh: boolean;
  wrong: string;
}

/**
 * asking keeps an answer up to date for as long as the returned function is not
 * called. query is followed: what it reads asks again; null asks nothing.
 */
export function asking<T>(into: Signal<Asked<T>>, call: string, query: () => Query | null): () => void {
  const latest = new Latest();
  let shown = "";
  const end = effect(() => {
    const name = file.value;
    const v = version.value;
    const q = query();
    if (!name || v === 0 || q === null) return;
    const of = name;
    untracked(() => {
      const before = into.value;
      into.value = { answer: of === shown ? before.answer : null, fresh: false, wrong: "" };
    });
    latest.ask(
      () => get<T>(call, { file: name, ...q }),
      (answer) => {
        shown = of;
        into.value = { answer, fresh: true, wrong: "" };
      },
      (e) => {
        into.value = { ...into.value, fresh: true, wrong: e instanceof Error ? e.message : String(e) };
      },
    );
  });
  return () => {
    end();
    latest.stop();
  };
}

export const nothing = <T>(): Asked<T> => ({ answer: null, fresh: false, wrong: "" });

/** spaceMap is the map of the work space that the judgement rests on. */
export const spaceMap = signal<Asked<SpaceMap>>(nothing());

/** followMap keeps it up to date while a bench that shows it is open. */
export const followMap = (): (() => void) => asking(spaceMap, "map", () => ({}));

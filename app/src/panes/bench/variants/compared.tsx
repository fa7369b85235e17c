import { signal } from "@preact/signals";
import type { ComparedCheck, Comparison } from "../../../api/types";
import { Mark } from "../../../parts/verdict";
import { select } from "../../../state/selection";
import { percent } from "../../ledger/filter";

const tab = signal<"numbers" | "checks" | "text">("numbers");

/** Compared shows two states side by side: numbers, checks that differ, and the text. */
export function Compared({ comparison: c }: { comparison: Comparison }) {
  const differ = c.checks ?? [];
  const numbers = (c.results ?? []).filter((r) => r.better !== "same" && r.text_a !== r.text_b);
  const same = (c.results ?? []).length - numbers.length;
  return (
    <div class="compared">
      <div class="compared-tabs">
        <Chip id="numbers" words={`${numbers.length} numbers differ`} />
        <Chip id="checks" words={`${differ.length} checks differ`} />
        <Chip id="text" words={c.text_diff ? "the text differs" : "the text is the same"} />
      </div>
      {tab.value === "numbers" && numbers.length === 0 && <p class="notice">Every number reads the same.</p>}
      {tab.value === "numbers" && numbers.length > 0 && (
        <div class="scroll">
          <table class="plain">
            <thead>
              <tr>
                <th scope="col">number</th>
                <th scope="col" class="right">
                  {c.a.name}
                </th>
                <th scope="col" class="right">
                  {c.b.name}
                </th>
                <th scope="col" class="right">
                  change
                </th>
                <th scope="col">better</th>
              </tr>
            </thead>
            <tbody>
              {numbers.map((r) => (
                <tr key={r.key}>
                  <th scope="row">{r.name}</th>
                  <td class={r.better === "a" ? "right better" : "right"}>{r.text_a || "–"}</td>
                  <td class={r.better === "b" ? "right better" : "right"}>{r.text_b || "–"}</td>
                  <td class="right">{r.text}</td>
                  <td>{r.better === "a" ? c.a.name : r.better === "b" ? c.b.name : ""}</td>
                </tr>
              ))}
            </tbody>
          </table>
          {same > 0 && <p class="quiet">{same} more are the same.</p>}
        </div>
      )}
      {tab.value === "checks" && <Checks list={differ} a={c.a.name} b={c.b.name} />}
      {tab.value === "text" && <Diff text={c.text_diff} />}
    </div>
  );
}

function Chip({ id, words }: { id: typeof tab.value; words: string }) {
  return (
    <button
      type="button"
      class="chip chip-choice"
      aria-pressed={tab.value === id}
      onClick={() => {
        tab.value = id;
      }}
    >
      {words}
    </button>
  );
}

function Checks({ list, a, b }: { list: ComparedCheck[]; a: string; b: string }) {
  if (list.length === 0) return <p class="notice">Every check reads the same.</p>;
  return (
    <div class="scroll">
      <table class="plain">
        <thead>
          <tr>
            <th scope="col">check</th>
            <th scope="col">{a}</th>
            <th scope="col">{b}</th>
            <th scope="col">{b} is</th>
          </tr>
        </thead>
        <tbody>
          {list.map((c) => (
            <tr key={c.id}>
              <th scope="row">
                <button
                  type="button"
                  class="link"
                  title={c.id}
                  onClick={() => select({ kind: "check", id: c.id, parts: [], from: "bench" })}
                >
                  {c.title}
                </button>
              </th>
              <Side side={c.a} />
              <Side side={c.b} />
              <td class={c.change === "worse" ? "notice-wrong" : ""}>{c.change}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Side({ side }: { side: ComparedCheck["a"] }) {
  if (!side) return <td class="quiet">not there</td>;
  return (
    <td>
      <Mark verdict={side.verdict} /> {side.shown.outcome || side.shown.value}{" "}
      {!/^(yes|no)?$/.test(side.shown.outcome ?? "-") && <span class="quiet">{percent(side.utilisation)}</span>}
    </td>
  );
}

/** Diff shows a unified difference: what went out is struck, what came in is marked. */
export function Diff({ text }: { text: string }) {
  if (!text) return <p class="notice">Both texts are the same.</p>;
  const lines = text.split("\n").filter((l) => !/^(diff|---|\+\+\+) /.test(l));
  return (
    <pre class="diff">
      {lines.map((l, i) => {
        if (l.startsWith("-")) return <del key={i}>{`${l}\n`}</del>;
        if (l.startsWith("+")) return <ins key={i}>{`${l}\n`}</ins>;
        return <span key={i} class={l.startsWith("@@") ? "diff-place" : ""}>{`${l}\n`}</span>;
      })}
    </pre>
  );
}

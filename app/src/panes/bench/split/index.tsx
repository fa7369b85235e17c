// The split bench: which parts the sag, a movement or the lowest mode is owed to.

import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import type { Split as SplitAnswer, SplitOf, SplitShare } from "../../../api/types";
import { select, selection } from "../../../state/selection";
import { lit, pose, posed, query } from "../../machine/stage";
import { readable } from "../../machine/words";
import { type Asked, asking, nothing } from "../asking";
import { Missing } from "../notice";
import { useFollow } from "../use";
import { barsOf, type Group, leftOver } from "./bars";
import "../../../style/bench.css";
import "../../../style/bench-cycle.css";

const split = signal<Asked<SplitAnswer>>(nothing());
const of = signal<SplitOf>("sag");
const here = signal(false);
const open = signal<ReadonlySet<string>>(new Set());

const words: Record<SplitOf, string> = {
  sag: "sag of the tool",
  sag_variation: "variation of the sag",
  x: "movement along x",
  y: "movement along y",
  z: "movement along z",
  first_mode: "lowest mode",
};

const followSplit = () =>
  asking(split, "split", () =>
    here.value && of.value !== "sag_variation" ? { of: of.value, q: query(posed.value) } : { of: of.value },
  );

export default function Split() {
  useFollow(followSplit);
  useEffect(
    () => () => {
      lit.value = [];
    },
    [],
  );
  const a = split.value;
  return (
    <div class={a.fresh ? "split" : "split stale"}>
      <div class="player">
        <label class="choice">
          <span>split of</span>
          <select
            value={of.value}
            onChange={(e) => {
              of.value = e.currentTarget.value as SplitOf;
            }}
          >
            {(Object.keys(words) as SplitOf[]).map((k) => (
              <option key={k} value={k}>
                {words[k]}
              </option>
            ))}
          </select>
        </label>
        <label class="choice">
          <span>at</span>
          <select
            value={here.value && of.value !== "sag_variation" ? "here" : "worst"}
            disabled={of.value === "sag_variation"}
            onChange={(e) => {
              here.value = e.currentTarget.value === "here";
            }}
          >
            <option value="worst">its worst place</option>
            <option value="here">the pose shown above</option>
          </select>
        </label>
        {a.answer && !here.value && (
          <button type="button" class="button" onClick={() => pose(a.answer!.q)}>
            go there
          </button>
        )}
      </div>
      {a.answer && a.answer.of === of.value ? <Bars split={a.answer} /> : <Missing of={a} what="the split" />}
    </div>
  );
}

function Bars({ split: s }: { split: SplitAnswer }) {
  const { groups, span } = barsOf(s);
  return (
    <>
      <p class="split-total">
        {s.title}: <b>{s.text}</b> {leftOver(s)}
      </p>
      <ul class="split-rows">
        {groups.map((g) => (
          <GroupRow key={g.name} group={g} span={span} />
        ))}
      </ul>
    </>
  );
}

const light = (solids: string[] | null) => () => {
  lit.value = solids ?? [];
};
const dim = light([]);

function GroupRow({ group: g, span }: { group: Group; span: [number, number] }) {
  const shown = open.value.has(g.name);
  const all = g.shares.flatMap((s) => s.solids ?? []);
  return (
    <li>
      <button
        type="button"
        class="split-row"
        aria-expanded={shown}
        onMouseEnter={light(all)}
        onMouseLeave={dim}
        onFocus={light(all)}
        onBlur={dim}
        onClick={() => {
          const next = new Set(open.value);
          if (!next.delete(g.name)) next.add(g.name);
          open.value = next;
        }}
      >
        <span class="split-name">
          {readable(g.name)} <span class="quiet">{g.shares.length > 1 ? g.shares.length : ""}</span>
        </span>
        <Bar percent={g.percent} span={span} />
        <span class="split-number">{g.text}</span>
        <span class="split-percent">{`${g.percent.toFixed(1)} %`}</span>
      </button>
      {shown && (
        <ul>
          {g.shares.map((s) => (
            <ShareRow key={s.id} share={s} span={span} />
          ))}
        </ul>
      )}
    </li>
  );
}

function ShareRow({ share: s, span }: { share: SplitShare; span: [number, number] }) {
  const chosen = s.solids?.some((id) => selection.value?.parts.includes(id)) ?? false;
  return (
    <li>
      <button
        type="button"
        class="split-row split-share"
        aria-pressed={chosen}
        onMouseEnter={light(s.solids)}
        onMouseLeave={dim}
        onFocus={light(s.solids)}
        onBlur={dim}
        onClick={() => select({ kind: "part", id: s.part || s.id, parts: s.solids ?? [], path: s.path, from: "bench" })}
      >
        <span class="split-name">{readable(s.id)}</span>
        <Bar percent={s.percent} span={span} />
        <span class="split-number">{s.text}</span>
        <span class="split-percent">{`${s.percent.toFixed(1)} %`}</span>
      </button>
    </li>
  );
}

/** Bar runs from zero to the share; to the left of zero it takes away from the total. */
function Bar({ percent, span: [least, most] }: { percent: number; span: [number, number] }) {
  const wide = most - least || 1;
  const zero = ((0 - least) / wide) * 100;
  const end = ((percent - least) / wide) * 100;
  return (
    <svg class="split-bar" viewBox="0 0 100 8" preserveAspectRatio="none" aria-hidden="true">
      <rect
        class={percent < 0 ? "split-less" : "split-more"}
        x={Math.min(zero, end)}
        y="1"
        width={Math.abs(end - zero)}
        height="6"
      />
      <path d={`M${zero} 0V8`} />
    </svg>
  );
}

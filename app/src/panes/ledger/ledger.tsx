import { signal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import type { Check, Verdict } from "../../api/types";
import { Mark } from "../../parts/verdict";
import { blocked, checks, judged, stale, trouble } from "../../state/judgement";
import { concerned } from "../../state/lit";
import { selection } from "../../state/selection";
import { Beside } from "./beside";
import { everything, type Filter, filtered, values, visible } from "./filter";
import "./ledger.css";
import { Line } from "./line";
import { opened } from "./opened";

const filter = signal<Filter>(everything);
const active = signal("");
/** away: the list is scrolled, so that its first lines are out of sight. */
const away = signal(false);
/** seenOver are the checks that were over when the head of the list was last in sight. */
const seenOver = signal<ReadonlySet<string>>(new Set());

function set(part: Partial<Filter>): void {
  filter.value = { ...filter.value, ...part };
}

/** Ledger lists every check, worst first; a line opens to show its working. */
export function Ledger() {
  const list = useRef<HTMLOListElement>(null);
  const shown = visible(checks.value, filter.value, concerned.value);
  const first = shown.some((c) => c.id === active.value) ? active.value : (shown[0]?.id ?? "");
  useFollow(list.current);
  return (
    <Aged>
      <Filters all={checks.value} count={shown.length} />
      {trouble.value && (
        <p class="notice notice-wrong" role="alert">
          The judgement failed: {trouble.value}
        </p>
      )}
      {blocked.value && (
        <p class="notice notice-wrong">
          {judged.value
            ? "The description has mistakes, so these numbers are those of the last text that could be judged."
            : "The description has mistakes, so there are no numbers yet."}
        </p>
      )}
      {!judged.value && !blocked.value && !trouble.value && <p class="notice">The first judgement is being made…</p>}
      <Above shown={shown} list={list.current} />
      <div class="ledger-lines veil">
        <ol
          class="ledger-list"
          ref={list}
          onScroll={(e) => {
            away.value = e.currentTarget.scrollTop > 40;
          }}
          onKeyDown={(e) => keys(e, list.current)}
          aria-label="Checks"
        >
          {shown.map((c) => (
            <Line
              key={c.id}
              check={c}
              open={opened.value.has(c.id)}
              lit={concerned.value.has(c.id)}
              reach={c.id === first}
              onReach={reach}
            />
          ))}
          {judged.value && shown.length === 0 && (
            <li class="notice">
              No check fits.{" "}
              <button type="button" class="link" onClick={() => set(everything)}>
                Show all {checks.value.length}
              </button>
            </li>
          )}
        </ol>
      </div>
      {judged.value && <Beside judged={judged.value} />}
    </Aged>
  );
}

/** Aged marks the ledger of an older text, without drawing its lines again. */
function Aged({ children }: { children: ComponentChildren }) {
  return <div class={stale.value ? "ledger stale" : "ledger"}>{children}</div>;
}

// What is over stands first; where that is out of sight, a button says how much there is.
function Above({ shown, list }: { shown: readonly Check[]; list: HTMLElement | null }) {
  const over = shown.filter((c) => c.verdict === "over").map((c) => c.id);
  const ids = over.join(" ");
  const far = away.value;
  useEffect(() => {
    if (!far) seenOver.value = new Set(ids.split(" "));
  }, [far, ids]);
  const fresh = over.filter((id) => !seenOver.value.has(id)).length;
  if (!far || over.length === 0 || filter.value.order !== "worst") return <div class="ledger-above" role="status" />;
  return (
    <div class="ledger-above" role="status">
      <button type="button" class={fresh > 0 ? "fresh" : ""} onClick={() => list?.scrollTo({ top: 0 })}>
        ↑ {over.length} over at the top{fresh > 0 && `, ${fresh} new`}
      </button>
    </div>
  );
}

function reach(id: string): void {
  active.value = id;
}

const order: Verdict[] = ["over", "unknown", "tight", "ok"];

function Filters({ all, count }: { all: readonly Check[]; count: number }) {
  const f = filter.value;
  const n = (v: Verdict) => all.filter((c) => c.verdict === v).length;
  const flip = (v: Verdict) => {
    const only = f.verdicts.size === 4;
    const next = new Set(only ? [v] : f.verdicts);
    if (!only && !next.delete(v)) next.add(v);
    set({ verdicts: next.size === 0 ? everything.verdicts : next });
  };
  return (
    <div class="filters" role="search" aria-label="Ledger">
      <div class="filters-verdicts">
        {order.map((v) => (
          <button key={v} type="button" class="chip" aria-pressed={f.verdicts.has(v)} onClick={() => flip(v)}>
            <Mark verdict={v} /> {n(v)}
          </button>
        ))}
      </div>
      <input
        id="ledger-search"
        type="search"
        placeholder="Search checks"
        aria-label="Search checks"
        value={f.text}
        onInput={(e) => set({ text: e.currentTarget.value })}
      />
      <div class="filters-row">
        <select aria-label="Group" value={f.group} onChange={(e) => set({ group: e.currentTarget.value, subject: "" })}>
          <option value="">all groups</option>
          {values(all, "group").map((g) => (
            <option key={g}>{g}</option>
          ))}
        </select>
        <select aria-label="Subject" value={f.subject} onChange={(e) => set({ subject: e.currentTarget.value })}>
          <option value="">all subjects</option>
          {values(all, "subject", f.group).map((s) => (
            <option key={s}>{s}</option>
          ))}
        </select>
        <select
          aria-label="Order"
          value={f.order}
          onChange={(e) => set({ order: e.currentTarget.value as Filter["order"] })}
        >
          <option value="worst">worst first</option>
          <option value="group">by group</option>
        </select>
      </div>
      <div class="filters-count">
        <span role="status">{filtered(f) ? `${count} of ${all.length} checks` : `${all.length} checks`}</span>
        {filtered(f) && (
          <button type="button" class="link" onClick={() => set({ ...everything, order: f.order })}>
            Show all
          </button>
        )}
        <label class="tick">
          <input type="checkbox" checked={f.concerned} onChange={(e) => set({ concerned: e.currentTarget.checked })} />
          selection only
        </label>
      </div>
    </div>
  );
}

// What is selected elsewhere comes into view.
function useFollow(list: HTMLElement | null): void {
  const at = selection.value;
  useEffect(() => {
    if (!list || !at || at.from === "ledger") return;
    const id = at.kind === "check" ? at.id : [...concerned.value][0];
    const line = id && list.querySelector(`[data-check="${CSS.escape(id)}"]`);
    if (line) line.scrollIntoView({ block: "nearest" });
  }, [list, at]);
}

function keys(e: KeyboardEvent, list: HTMLElement | null): void {
  const heads = [...(list?.querySelectorAll<HTMLElement>(".line-head") ?? [])];
  const here = heads.indexOf(document.activeElement as HTMLElement);
  if (here < 0 || e.ctrlKey || e.metaKey || e.altKey) return;
  const target = { ArrowDown: here + 1, ArrowUp: here - 1, Home: 0, End: heads.length - 1 }[e.key];
  if (target === undefined) return;
  e.preventDefault();
  heads[Math.max(0, Math.min(heads.length - 1, target))]?.focus();
}

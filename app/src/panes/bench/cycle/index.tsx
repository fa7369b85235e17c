// The cycle bench: the machine moving through its task, with curves and the
// coming to rest after each step.

import { signal } from "@preact/signals";
import type { Cycle as CycleAnswer } from "../../../api/types";
import { Icon } from "../../../parts/icon";
import { playing } from "../../../state/pose";
import { millimetres, readable } from "../../machine/words";
import { Missing } from "../notice";
import { useFollow } from "../use";
import { Curves } from "./curves";
import { cycle, followCycle, go, legAt, nextLeg, pace, run, sample, time } from "./playing";
import { SettleChart } from "./settle";
import "../../../style/bench.css";
import "../../../style/bench-cycle.css";

const axis = signal<string>("");
const what = signal<"curves" | "settle">("curves");

export default function Cycle() {
  useFollow(followCycle, run);
  const a = cycle.value;
  if (!a.answer) return <Missing of={a} what="the cycle" />;
  const c = a.answer;
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: keys that the player answers wherever the focus is in it
    <div class={a.fresh ? "cycle" : "cycle stale"} onKeyDown={(e) => key(e, c)}>
      <div class="player">
        <button
          type="button"
          class="button"
          onClick={() => {
            playing.value = !playing.value;
          }}
          title="play or stop (space)"
        >
          <Icon name={playing.value ? "halt" : "play"} />
          <span>{playing.value ? "Stop" : "Play"}</span>
        </button>
        <Head cycle={c} />
        <label class="choice">
          <span class="aloud">pace</span>
          <select
            value={String(pace.value)}
            onChange={(e) => {
              pace.value = Number(e.currentTarget.value);
            }}
          >
            {[0.1, 0.25, 0.5, 1, 2].map((p) => (
              <option key={p} value={String(p)}>
                {p === 1 ? "real time" : `${p} × as fast`}
              </option>
            ))}
          </select>
        </label>
        <label class="choice">
          <span class="aloud">show</span>
          <select
            value={what.value === "settle" ? "settle" : `curves ${axis.value}`}
            onChange={(e) => {
              const v = e.currentTarget.value;
              what.value = v === "settle" ? "settle" : "curves";
              if (v !== "settle") axis.value = v.slice("curves ".length);
            }}
          >
            <option value="curves ">all axes</option>
            {c.axes.map((x) => (
              <option key={x.id} value={`curves ${x.id}`}>
                {`axis ${x.id} with limits`}
              </option>
            ))}
            <option value="settle">coming to rest</option>
          </select>
        </label>
      </div>
      <Steps cycle={c} />
      <Now cycle={c} />
      {what.value === "settle" ? <SettleChart cycle={c} /> : <Curves cycle={c} axis={axis.value} />}
    </div>
  );
}

function key(e: KeyboardEvent, c: CycleAnswer): void {
  const at = e.target as HTMLElement;
  if (e.ctrlKey || e.metaKey || e.altKey || at.tagName === "SELECT") return;
  const step = e.shiftKey ? 0.01 : 0.1;
  if (e.key === " " && at.tagName !== "BUTTON") playing.value = !playing.value;
  else if (e.key === "ArrowRight") halt(time.value + step);
  else if (e.key === "ArrowLeft") halt(time.value - step);
  else if (e.key === "PageDown") halt(nextLeg(c, time.value, 1));
  else if (e.key === "PageUp") halt(nextLeg(c, time.value, -1));
  else if (e.key === "Home") halt(0);
  else if (e.key === "End") halt(c.duration);
  else return;
  e.preventDefault();
}

function halt(t: number): void {
  playing.value = false;
  go(t);
}

function Head({ cycle: c }: { cycle: CycleAnswer }) {
  const t = time.value;
  return (
    <label class="choice head">
      <input
        type="range"
        min="0"
        max={c.duration}
        step="0.01"
        value={t}
        aria-label="time in the cycle; space plays, arrows step, page keys go from step to step"
        aria-valuetext={`${t.toFixed(2)} seconds, ${stepName(c, t)}`}
        onInput={(e) => halt(e.currentTarget.valueAsNumber)}
      />
      <output>{`${t.toFixed(2)} of ${c.text}`}</output>
    </label>
  );
}

const stepName = (c: CycleAnswer, t: number): string =>
  readable(c.legs[legAt(c.legs, t)]?.name ?? "before the first step");

/** Steps are the moves of the cycle by name, in proportion to their time. */
function Steps({ cycle: c }: { cycle: CycleAnswer }) {
  const at = legAt(c.legs, time.value);
  return (
    <div class="steps" role="group" aria-label="Steps of the cycle">
      {c.legs.map((l, i) => {
        const until = c.legs[i + 1]?.start ?? c.duration;
        const style = { flexGrow: Math.max(0.01, until - l.start) };
        return (
          <button
            key={l.name}
            type="button"
            class={i === at ? "step step-now" : "step"}
            style={style}
            onClick={() => halt(l.start)}
            title={`${readable(l.name)}: ${(l.end - l.start).toFixed(2)} s under way, ${l.loaded ? "with" : "without"} payload`}
          >
            <span>{readable(l.name)}</span>
            {l.loaded && <i class="step-loaded" />}
          </button>
        );
      })}
    </div>
  );
}

/** plain is a number with so many digits, without a sign on zero. */
function plain(v: number | null, digits: number): string {
  const text = (v ?? 0).toFixed(digits);
  return Number(text) === 0 ? (0).toFixed(digits) : text;
}

/** Now is where every axis is and what it does. */
function Now({ cycle: c }: { cycle: CycleAnswer }) {
  const t = time.value;
  return (
    <p class="now">
      {c.axes.map((a) => (
        <span key={a.id}>
          <i>{a.id}</i> {millimetres(sample(c.t, a.q, t) ?? 0)}, {plain(sample(c.t, a.v, t), 2)} m/s,{" "}
          {plain(sample(c.t, a.force, t), 0)} N
        </span>
      ))}
    </p>
  );
}

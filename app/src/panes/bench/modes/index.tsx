// The modes bench: at which frequencies the machine swings, how, and what gives way.

import { computed, effect, signal } from "@preact/signals";
import type { Mode, Modes as ModesAnswer } from "../../../api/types";
import { Icon } from "../../../parts/icon";
import { loaded, playing } from "../../../state/pose";
import { reducedMotion } from "../../../state/settings";
import { roundDown } from "../../machine/scale";
import { bending, posed, query, scene } from "../../machine/stage";
import { millimetres } from "../../machine/words";
import { type Asked, asking, nothing } from "../asking";
import { Missing } from "../notice";
import { useFollow } from "../use";
import { slowed } from "./slowed";
import "../../../style/bench.css";

const modes = signal<Asked<ModesAnswer>>(nothing());
const chosen = signal(0);
const speed = signal(0.7); // swings a second in the drawing
const size = signal(1); // times the automatic size
const side = signal<1 | -1>(1);

/** moving: the shape swings. Where motion is unwelcome it stands at one end, and can be put to the other. */
const moving = computed(() => playing.value && !reducedMotion.value);

const followModes = () =>
  asking(modes, "modes", () =>
    posed.value.length ? { q: query(posed.value), loaded: loaded.value ? 1 : 0, n: 6 } : null,
  );

/** How far the part that moves most goes in the drawing, of the machine's size; a choice. */
const share = 0.05;

/** reach is how far the part that moves most goes in the drawing, m. */
const reach = computed(() => {
  const longest = Math.max(0, ...(scene.value?.dims.map((d) => d.value_m) ?? []));
  return roundDown(longest * share) * size.value;
});

function swing(): () => void {
  playing.value = !reducedMotion.peek();
  const end = effect(() => {
    const list = modes.value.answer?.modes ?? [];
    const m = list[Math.min(chosen.value, list.length - 1)];
    if (!m || !(reach.value > 0)) {
      bending.value = null;
      return;
    }
    const slower = moving.value ? `, ${slowed(m.hz, speed.value)}` : "";
    const note = `mode ${list.indexOf(m) + 1}: what moves most is drawn ${millimetres(reach.value)} out${slower}`;
    bending.value = {
      shape: m.shape,
      factor: reach.value,
      swings: moving.value ? speed.value : null,
      side: side.value,
      note,
    };
  });
  return () => {
    end();
    playing.value = false;
    bending.value = null;
  };
}

export default function Modes() {
  useFollow(followModes, swing);
  const a = modes.value;
  if (!a.answer) return <Missing of={a} what="the modes" />;
  const list = a.answer.modes;
  const at = Math.min(chosen.value, list.length - 1);
  return (
    <div class={a.fresh ? "modes" : "modes stale"}>
      <Player />
      <div class="mode-rows" role="radiogroup" aria-label="Natural modes at this pose">
        {list.map((m, i) => (
          <Row
            key={i}
            mode={m}
            number={i + 1}
            on={i === at}
            choose={() => choose(i, list.length)}
            count={list.length}
          />
        ))}
      </div>
      <p class="quiet">
        Motors held, {a.answer.loaded ? "with payload" : "without payload"}, at the pose shown above. A bar is the share
        of the machine's mass that swings along x, y, z.
      </p>
    </div>
  );
}

function choose(i: number, count: number): void {
  chosen.value = (i + count) % count;
}

interface RowProps {
  mode: Mode;
  number: number;
  on: boolean;
  choose: () => void;
  count: number;
}

function Row({ mode: m, number, on, choose: take, count }: RowProps) {
  const key = (e: KeyboardEvent) => {
    const by = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 }[e.key];
    if (by === undefined) return;
    e.preventDefault();
    choose(number - 1 + by, count);
    const rows = (e.currentTarget as HTMLElement).parentElement?.querySelectorAll<HTMLElement>('[role="radio"]');
    rows?.[(number - 1 + by + count) % count]?.focus();
  };
  return (
    <button
      type="button"
      role="radio"
      aria-checked={on}
      tabIndex={on ? 0 : -1}
      class="mode-row"
      onClick={take}
      onKeyDown={key}
    >
      <span class="mode-number">{number}</span>
      <b class="mode-hz">{m.text}</b>
      <span class="mode-words">{m.words}</span>
      <Shares of={m.participation} />
    </button>
  );
}

function Shares({ of }: { of: Mode["participation"] }) {
  const words = (["x", "y", "z"] as const).map((a) => `${Math.round(100 * of[a])} % along ${a}`).join(", ");
  return (
    <svg class="mode-shares" viewBox="0 0 66 18" role="img" aria-label={`mass that swings: ${words}`}>
      {(["x", "y", "z"] as const).map((a, i) => (
        <g key={a}>
          <path class="share-base" d={`M${i * 22 + 8} 2V16`} />
          <rect
            class="share-bar"
            x={i * 22 + 8}
            y={16 - 14 * Math.min(1, of[a])}
            width="10"
            height={14 * Math.min(1, of[a])}
          />
          <text x={i * 22} y="15">
            {a}
          </text>
        </g>
      ))}
    </svg>
  );
}

function Player() {
  if (reducedMotion.value)
    return (
      <div class="player">
        {([1, -1] as const).map((s) => (
          <button
            key={s}
            type="button"
            class="button"
            aria-pressed={side.value === s}
            onClick={() => {
              side.value = s;
            }}
          >
            {s === 1 ? "one end" : "other end"}
          </button>
        ))}
        <Size />
      </div>
    );
  return (
    <div class="player">
      <button
        type="button"
        class="button"
        onClick={() => {
          playing.value = !playing.value;
        }}
      >
        <Icon name={playing.value ? "halt" : "play"} />
        <span>{playing.value ? "Stop" : "Swing"}</span>
      </button>
      <label class="choice">
        <span>speed</span>
        <input
          type="range"
          min="0.2"
          max="2"
          step="0.1"
          value={speed.value}
          aria-valuetext={`${speed.value} swings a second`}
          onInput={(e) => {
            speed.value = e.currentTarget.valueAsNumber;
          }}
        />
      </label>
      <Size />
    </div>
  );
}

function Size() {
  return (
    <label class="choice">
      <span>drawn out by</span>
      <select
        value={String(size.value)}
        onChange={(e) => {
          size.value = Number(e.currentTarget.value);
        }}
      >
        {[0.5, 1, 2, 5].map((k) => (
          <option key={k} value={String(k)}>
            {millimetres((reach.value / size.value) * k)}
          </option>
        ))}
      </select>
    </label>
  );
}

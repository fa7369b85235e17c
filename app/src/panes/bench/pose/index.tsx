// The pose bench: move the axes and see how the tool gives way.

import { effect, signal } from "@preact/signals";
import type { Pose as PoseAnswer } from "../../../api/types";
import { loaded } from "../../../state/pose";
import { exaggeration, tooLarge } from "../../machine/scale";
import { bending, posed, query, scene } from "../../machine/stage";
import { diagonal } from "../../machine/vec";
import { type Asked, asking, followMap, nothing } from "../asking";
import { Missing } from "../notice";
import { useFollow } from "../use";
import { Movers, Places } from "./movers";
import { drawnScale, Scale } from "./scale-choice";
import "../../../style/bench.css";

const pose = signal<Asked<PoseAnswer>>(nothing());

/** followPose asks for the pose that is shown; one request at a time, the newest wins. */
const followPose = () =>
  asking(pose, "pose", () => (posed.value.length ? { q: query(posed.value), loaded: loaded.value ? 1 : 0 } : null));

/** bendToPose draws the machine as it gives way. */
function bendToPose(): () => void {
  const end = effect(() => {
    const p = pose.value.answer;
    const s = scene.value;
    const chosen = drawnScale.value;
    if (!p || !s || chosen === "off") {
      bending.value = null;
      return;
    }
    const size = diagonal({ min: [0, 0, 0], max: extent(s.dims) });
    const factor = chosen === "auto" ? exaggeration(p.shape.largest, size) : chosen;
    const what = `under ${p.loaded ? "own weight and payload" : "its own weight"}`;
    bending.value = { shape: p.shape, factor, swings: null, side: 1, note: `${what}, ${tooLarge(factor)}` };
  });
  return () => {
    end();
    bending.value = null;
  };
}

function extent(dims: { name: string; value_m: number }[]): [number, number, number] {
  const of = (name: string) => dims.find((d) => d.name === name)?.value_m ?? 0;
  return [of("machine along x"), of("machine along y"), of("machine height")];
}

export default function Pose() {
  useFollow(followMap, followPose, bendToPose);
  const s = scene.value;
  const p = pose.value;
  if (!s) return <p class="notice">There is no machine to move yet.</p>;
  return (
    <div class="bench-two">
      <div class="movers">
        <Movers scene={s} />
        <div class="mover-places">
          <Places scene={s} />
          <label class="choice">
            <input
              type="checkbox"
              checked={loaded.value}
              onChange={(e) => {
                loaded.value = e.currentTarget.checked;
              }}
            />
            <span>holds the payload</span>
          </label>
          <Scale largest={p.answer?.shape.largest ?? 0} size={diagonal({ min: [0, 0, 0], max: extent(s.dims) })} />
        </div>
      </div>
      {p.answer ? <Numbers pose={p.answer} fresh={p.fresh} /> : <Missing of={p} what="the pose" />}
    </div>
  );
}

const across = ["x", "y", "z"] as const;

/** Numbers is what the tool does at the pose. */
function Numbers({ pose: p, fresh }: { pose: PoseAnswer; fresh: boolean }) {
  const rows: [string, readonly string[]][] = [
    ["own weight", p.texts.dead],
    ["payload", p.texts.payload],
    ["together", p.texts.total],
    ["stiffness", p.texts.stiffness],
  ];
  return (
    <table class={fresh ? "tool-table" : "tool-table stale"} aria-live="off">
      <caption>
        Tool point: sags <b>{p.texts.sag}</b>; swings at <b>{p.texts.hz[0] ?? "unknown"}</b>
        {p.texts.hz.length > 1 && <span class="quiet">, {p.texts.hz.slice(1).join(", ")}</span>}
      </caption>
      <thead>
        <tr>
          <th scope="col">moves by</th>
          {across.map((a) => (
            <th scope="col" key={a}>
              along {a}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows
          .filter(([name]) => p.loaded || (name !== "payload" && name !== "together"))
          .map(([name, texts]) => (
            <tr key={name} class={name === "together" ? "total" : ""}>
              <th scope="row">{name}</th>
              {texts.map((t, i) => (
                <td key={across[i]}>{t}</td>
              ))}
            </tr>
          ))}
      </tbody>
    </table>
  );
}

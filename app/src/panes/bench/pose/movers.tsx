import type { Scene, SceneAxis } from "../../../api/types";
import { playing } from "../../../state/pose";
import { pose, posed } from "../../machine/stage";
import { readable } from "../../machine/words";
import { spaceMap } from "../asking";

/** Movers are a slider and a field an axis. */
export function Movers({ scene }: { scene: Scene }) {
  const at = posed.value;
  const move = (i: number, value: number) => {
    playing.value = false;
    pose(at.map((v, k) => (k === i ? value : v)));
  };
  return (
    <>
      {scene.axes.map((a, i) => (
        <Mover key={a.id} axis={a} value={at[i] ?? 0} to={(v) => move(i, v)} />
      ))}
    </>
  );
}

const step = 0.001; // m

function Mover({ axis, value, to }: { axis: SceneAxis; value: number; to: (v: number) => void }) {
  const [least, most] = axis.over;
  const mm = Math.round(value * 1000);
  const hold = (v: number) => {
    if (Number.isFinite(v)) to(Math.min(most, Math.max(least, v)));
  };
  return (
    <div class="mover">
      <span class="mover-name">{axis.id}</span>
      <input
        type="range"
        min={least}
        max={most}
        step={step}
        value={value}
        aria-label={`axis ${axis.id}`}
        aria-valuetext={`${mm} millimetres`}
        onInput={(e) => hold(e.currentTarget.valueAsNumber)}
      />
      <span class="mover-field">
        <input
          type="number"
          min={least * 1000}
          max={most * 1000}
          step={step * 1000}
          value={mm}
          aria-label={`axis ${axis.id} in millimetres`}
          onChange={(e) => hold(e.currentTarget.valueAsNumber / 1000)}
        />
        mm
      </span>
    </div>
  );
}

/** Places lists the named places of the task and the worst ones of the work space. */
export function Places({ scene }: { scene: Scene }) {
  const map = spaceMap.value.answer;
  const worst = map
    ? [
        { name: `where it sags most (${map.greatest_text.sag})`, q: map.values[map.greatest_at.sag]?.q },
        { name: `where it sags least (${map.least_text.sag})`, q: map.values[map.least_at.sag]?.q },
        { name: `where it swings slowest (${map.least_text.hz})`, q: map.values[map.least_at.hz]?.q },
      ]
    : [];
  const all = [...scene.points.map((p) => ({ name: readable(p.name), q: p.q })), ...worst];
  const near = (q: readonly number[] | undefined) =>
    q?.every((v, i) => Math.abs(v - (posed.value[i] ?? Number.NaN)) < 1e-4) ?? false;
  const here = all.findIndex((p) => near(p.q));
  return (
    <label class="choice">
      <span>at</span>
      <select
        value={String(here)}
        onChange={(e) => {
          const q = all[Number(e.currentTarget.value)]?.q;
          if (q) pose(q);
        }}
      >
        <option value="-1" disabled>
          no named place
        </option>
        <optgroup label="of the task">
          {scene.points.map((p, i) => (
            <option key={p.name} value={String(i)}>
              {readable(p.name)}
            </option>
          ))}
        </optgroup>
        {worst.length > 0 && (
          <optgroup label="of the work space">
            {worst.map((w, i) => (
              <option key={w.name} value={String(scene.points.length + i)}>
                {w.name}
              </option>
            ))}
          </optgroup>
        )}
      </select>
    </label>
  );
}

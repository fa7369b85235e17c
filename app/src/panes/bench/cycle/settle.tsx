import { signal } from "@preact/signals";
import { useMemo } from "preact/hooks";
import type { Cycle, Settle } from "../../../api/types";
import { readable } from "../../machine/words";
import { Charts } from "./charts";
import { settlePlot } from "./plots";

const leg = signal(0);

/** SettleChart shows how the tool comes to rest after each step that has to settle. */
export function SettleChart({ cycle }: { cycle: Cycle }) {
  const at = cycle.settle[Math.min(leg.value, cycle.settle.length - 1)];
  const plots = useMemo(() => (at && at.t.length > 0 ? [settlePlot(at)] : []), [at]);
  if (!at) return <p class="notice">No step of this cycle has to settle.</p>;
  return (
    <div class="settle">
      <div class="player">
        <label class="choice">
          <span>after step</span>
          <select
            value={String(cycle.settle.indexOf(at))}
            onChange={(e) => {
              leg.value = Number(e.currentTarget.value);
            }}
          >
            {cycle.settle.map((s, i) => (
              <option key={s.name} value={String(i)}>
                {readable(s.name)}
              </option>
            ))}
          </select>
        </label>
        <span class="now">{words(at)}</span>
      </div>
      {plots.length > 0 ? (
        <Charts plots={plots} head={null} set={null} label={`Swing after ${readable(at.name)}: ${words(at)}`} />
      ) : (
        <p class="notice">The tool does not swing after this step.</p>
      )}
    </div>
  );
}

function words(s: Settle): string {
  if (s.band === null) return "no band is asked for";
  if (!s.ok) return "never comes to rest within the band";
  return s.time === 0 ? "within the band from the start" : `within the band after ${s.time_text}`;
}

// The work-space bench: how the tool gives way and swings over all places it can reach.

import { effect, signal } from "@preact/signals";
import { get } from "../../../api/client";
import type { FineMap, Mapped, SpaceMap } from "../../../api/types";
import { file } from "../../../state/doc";
import { scheme } from "../../../state/settings";
import { scene, sheet, version } from "../../machine/stage";
import { millimetres } from "../../machine/words";
import { followMap, spaceMap } from "../asking";
import { Missing } from "../notice";
import { ramp } from "../ramp";
import { useFollow } from "../use";
import { Chart } from "./chart";
import { amount, cells, type Plane, part, planeOf, planes } from "./grid";
import { Table } from "./table";
import "../../../style/bench.css";
import "../../../style/bench-map.css";

export const of = signal<Mapped>("sag");
const plane = signal<Plane | null>(null);
const asTable = signal(false);
const fine = signal<{ map: FineMap | null; busy: boolean; wrong: string; key: string }>({
  map: null,
  busy: false,
  wrong: "",
  key: "",
});

const words: Record<Mapped, string> = {
  sag: "sag of the tool",
  hz: "first frequency",
  x: "tool moves along x",
  y: "tool moves along y",
  z: "tool moves along z",
};

/** paint shows the plane in the drawing too. */
function paint(): () => void {
  const end = effect(() => {
    const map = spaceMap.value.answer;
    const p = plane.value;
    if (!map || !p || !scene.value) {
      sheet.value = null;
      return;
    }
    const list = cells(map, p);
    sheet.value = {
      columns: map.counts[p.across] ?? 1,
      at: list.map((c) => c.point.at),
      colours: list.map((c) =>
        ramp(part(amount(c.point, of.value), map.least[of.value], map.greatest[of.value]), scheme.value),
      ),
    };
  });
  return () => {
    end();
    sheet.value = null;
  };
}

/** settlePlane keeps the plane one of the map. */
function settlePlane(): () => void {
  return effect(() => {
    const map = spaceMap.value.answer;
    const p = plane.peek();
    if (map && (!p || p.fixed.length !== map.counts.length || p.fixed.some((k, i) => k >= map.counts[i]!)))
      plane.value = planeOf(map);
  });
}

/** fineKey tells whether a fine map belongs to what is shown. */
const fineKey = (map: SpaceMap, p: Plane): string =>
  [file.value, version.value, p.across, p.up, ...p.fixed.map((k, i) => (i === p.across || i === p.up ? "" : k))].join(
    "|",
  ) + map.counts.join();

async function finer(map: SpaceMap, p: Plane): Promise<void> {
  const key = fineKey(map, p);
  fine.value = { map: null, busy: true, wrong: "", key };
  const rest = map.counts.map((n, i) => (n > 1 ? (map.travel[i]! * p.fixed[i]!) / (n - 1) : 0));
  try {
    const answer = await get<FineMap>("fine", {
      file: file.value,
      axis_a: map.axes[p.across],
      axis_b: map.axes[p.up],
      rest: rest.join(),
      n: "40x20",
    });
    if (fine.value.key === key) fine.value = { map: answer, busy: false, wrong: "", key };
  } catch (e) {
    fine.value = { map: null, busy: false, wrong: e instanceof Error ? e.message : String(e), key };
  }
}

export default function Workspace() {
  useFollow(followMap, settlePlane, paint);
  const a = spaceMap.value;
  const p = plane.value;
  if (!a.answer || !p) return <Missing of={a} what="the map of the work space" />;
  const map = a.answer;
  const key = fineKey(map, p);
  const shownFine = fine.value.key === key && of.value !== "hz" ? fine.value.map : null;
  return (
    <div class={a.fresh ? "space" : "space stale"}>
      <div class="space-choices">
        <label class="choice">
          <span>show</span>
          <select
            value={of.value}
            onChange={(e) => {
              of.value = e.currentTarget.value as Mapped;
            }}
          >
            {(Object.keys(words) as Mapped[]).map((k) => (
              <option key={k} value={k}>
                {words[k]}
              </option>
            ))}
          </select>
        </label>
        {map.counts.length > 2 && <PlaneChoice map={map} plane={p} />}
        <label class="choice">
          <input
            type="checkbox"
            checked={asTable.value}
            onChange={(e) => {
              asTable.value = e.currentTarget.checked;
            }}
          />
          <span>as a table</span>
        </label>
        {of.value !== "hz" && !asTable.value && (
          <button
            type="button"
            class="button"
            disabled={fine.value.busy}
            aria-pressed={shownFine !== null}
            onClick={() => {
              if (shownFine) fine.value = { map: null, busy: false, wrong: "", key: "" };
              else void finer(map, p);
            }}
          >
            {fine.value.busy ? "Working it out…" : "finer"}
          </button>
        )}
        {fine.value.wrong && <span class="notice-wrong">{fine.value.wrong}</span>}
      </div>
      {asTable.value ? (
        <Table map={map} plane={p} of={of.value} name={words[of.value]} />
      ) : (
        <Chart map={map} plane={p} of={of.value} name={words[of.value]} fine={shownFine} />
      )}
    </div>
  );
}

function PlaneChoice({ map, plane: p }: { map: SpaceMap; plane: Plane }) {
  const others = map.axes.map((_, i) => i).filter((i) => i !== p.across && i !== p.up);
  return (
    <>
      <label class="choice">
        <span>plane</span>
        <select
          value={`${p.across},${p.up}`}
          onChange={(e) => {
            const [across, up] = e.currentTarget.value.split(",").map(Number) as [number, number];
            plane.value = { ...p, across, up };
          }}
        >
          {planes(map.axes.length).map(([x, y]) => (
            <option key={`${x},${y}`} value={`${x},${y}`}>
              {`${map.axes[x]} and ${map.axes[y]}`}
            </option>
          ))}
        </select>
      </label>
      {others.map((i) => (
        <label class="choice" key={map.axes[i]}>
          <span>{`at ${map.axes[i]}`}</span>
          <select
            value={String(p.fixed[i])}
            onChange={(e) => {
              const k = Number(e.currentTarget.value);
              plane.value = { ...p, fixed: p.fixed.map((v, j) => (j === i ? k : v)) };
            }}
          >
            {Array.from({ length: map.counts[i]! }, (_, k) => (
              <option key={k} value={String(k)}>
                {millimetres(map.counts[i]! > 1 ? (map.travel[i]! * k) / (map.counts[i]! - 1) : 0)}
              </option>
            ))}
          </select>
        </label>
      ))}
    </>
  );
}

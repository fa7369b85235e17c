import { useEffect, useRef, useState } from "preact/hooks";
import type { FineMap, Mapped, SpaceMap } from "../../../api/types";
import { scheme } from "../../../state/settings";
import { pose, posed } from "../../machine/stage";
import { millimetres } from "../../machine/words";
import { onRamp, ramp } from "../ramp";
import { amount, bands, type Cell, cells, fineEnds, fineValue, type Plane, part, textOf } from "./grid";

interface Props {
  map: SpaceMap;
  plane: Plane;
  of: Mapped;
  name: string;
  fine: FineMap | null;
}

/** room around the map for its rulers, px at the usual size of type. */
const around = { left: 46, right: 8, top: 6, bottom: 32 };

/** Chart is the plane, coloured and fitted to the room there is; arrow keys walk over it, Enter or a click goes there. */
export function Chart({ map, plane, of, name, fine }: Props) {
  const frame = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState({ width: 480, height: 160, type: 1 });
  const [at, setAt] = useState<number | null>(null);
  useEffect(() => {
    const watch = new ResizeObserver(() => {
      const f = frame.current;
      if (!f) return;
      const type = Number.parseFloat(getComputedStyle(f).fontSize) / 13.5 || 1;
      setSize({ width: Math.max(240, f.clientWidth), height: Math.max(110, f.clientHeight), type });
    });
    if (frame.current) watch.observe(frame.current);
    return () => watch.disconnect();
  }, []);
  const [wide, high] = [map.travel[plane.across] ?? 1, map.travel[plane.up] ?? 1];
  const type = size.type;
  const room = { left: around.left * type, right: around.right, top: around.top, bottom: around.bottom * type };
  const w = Math.max(60, size.width - room.left - room.right);
  const h = Math.max(40, Math.min(size.height - room.top - room.bottom, 0.55 * w));
  const x = (v: number) => room.left + (wide > 0 ? (v / wide) * w : 0);
  const y = (v: number) => room.top + h - (high > 0 ? (v / high) * h : 0);
  const list = cells(map, plane);
  const current = at === null ? null : (list[at] ?? null);
  const columns = map.counts[plane.across] ?? 1;
  const go = (c: Cell) => pose(c.point.q);
  const key = (e: KeyboardEvent) => {
    const by: Record<string, number> = { ArrowRight: 1, ArrowLeft: -1, ArrowUp: columns, ArrowDown: -columns };
    const step = by[e.key];
    if (step !== undefined) setAt((k) => Math.min(list.length - 1, Math.max(0, (k ?? 0) + (k === null ? 0 : step))));
    else if (e.key === "Home") setAt(0);
    else if (e.key === "End") setAt(list.length - 1);
    else if ((e.key === "Enter" || e.key === " ") && current) go(current);
    else return;
    e.preventDefault();
  };
  const worst = of === "hz" ? map.least_at.hz : map.greatest_at[of];
  return (
    <>
      <div
        class="map"
        ref={frame}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: arrow keys walk over the map
        tabIndex={0}
        role="group"
        aria-label={`Map: ${name}. Arrow keys walk, Enter goes there.`}
        onKeyDown={key}
        onMouseLeave={() => setAt(null)}
      >
        <svg width={room.left + w + room.right} height={room.top + h + room.bottom} aria-hidden="true">
          {fine ? (
            <Finer fine={fine} of={of} x={x} y={y} />
          ) : (
            <Coarse map={map} plane={plane} of={of} list={list} x={x} y={y} worst={worst} type={type} />
          )}
          <path class="map-frame" d={`M${x(0)} ${y(0)}h${w}v${-h}h${-w}z`} />
          <Ruler map={map} plane={plane} x={x} y={y} type={type} />
          <Here at={posed.value} plane={plane} x={x} y={y} />
          {current && (
            <circle
              class="map-here"
              cx={x(current.point.q[plane.across] ?? 0)}
              cy={y(current.point.q[plane.up] ?? 0)}
              r="8"
            />
          )}
          <Hits map={map} plane={plane} list={list} x={x} y={y} at={setAt} go={go} />
        </svg>
      </div>
      <div class="map-words">
        <Legend map={map} of={of} name={name} fine={fine} />
        <p aria-live="polite">
          {current ? said(map, current, of) : `Worst: ${said(map, { point: map.values[worst]! }, of)}.`}
        </p>
      </div>
    </>
  );
}

function said(map: SpaceMap, c: Pick<Cell, "point">, of: Mapped): string {
  const place = map.axes.map((a, i) => `${a} ${millimetres(c.point.q[i] ?? 0)}`).join(", ");
  const more = of === "hz" ? `sags ${c.point.text.sag}` : `swings at ${c.point.text.hz}`;
  return `${textOf(c.point, of)} at ${place}; ${more}`;
}

type To = (v: number) => number;

interface CoarseProps {
  map: SpaceMap;
  plane: Plane;
  of: Mapped;
  list: Cell[];
  x: To;
  y: To;
  worst: number;
  type: number;
}

function Coarse({ map, plane, of, list, x, y, worst, type }: CoarseProps) {
  const bx = bands(map.counts[plane.across] ?? 1, map.travel[plane.across] ?? 0);
  const by = bands(map.counts[plane.up] ?? 1, map.travel[plane.up] ?? 0);
  return (
    <>
      {list.map((c) => {
        const s = part(amount(c.point, of), map.least[of], map.greatest[of]);
        const [left, right] = [x(bx[c.column]!), x(bx[c.column + 1]!)];
        const [bottom, top] = [y(by[c.row]!), y(by[c.row + 1]!)];
        const fits = right - left > 64 * type && bottom - top > 15 * type;
        return (
          <g key={c.index}>
            <rect x={left} y={top} width={right - left} height={bottom - top} fill={ramp(s, scheme.value)} />
            {fits && (
              <text class="map-number" x={(left + right) / 2} y={(top + bottom) / 2 + 4} fill={onRamp(s, scheme.value)}>
                {textOf(c.point, of)}
              </text>
            )}
            {c.index === worst && (
              <rect class="map-worst" x={left + 1.5} y={top + 1.5} width={right - left - 3} height={bottom - top - 3} />
            )}
          </g>
        );
      })}
    </>
  );
}

function Finer({ fine, of, x, y }: { fine: FineMap; of: Mapped; x: To; y: To }) {
  const [na, nb] = fine.counts;
  const bx = bands(na, fine.a.at(-1) ?? 0);
  const by = bands(nb, fine.b.at(-1) ?? 0);
  const [least, greatest] = fineEnds(fine, of);
  return (
    <>
      {fine.a.flatMap((_, i) =>
        fine.b.map((_, j) => {
          const v = fineValue(fine, i * nb + j, of);
          if (v === null) return null;
          const [left, top] = [x(bx[i]!), y(by[j + 1]!)];
          return (
            <rect
              key={i * nb + j}
              x={left}
              y={top}
              width={x(bx[i + 1]!) - left + 0.6}
              height={y(by[j]!) - top + 0.6}
              fill={ramp(part(v, least, greatest), scheme.value)}
            />
          );
        }),
      )}
    </>
  );
}

interface PlaceProps {
  map: SpaceMap;
  plane: Plane;
  x: To;
  y: To;
}

/** spaced leaves out marks that would touch the one before; the last one stays. */
function spaced(marks: number[], to: To, apart: number): number[] {
  const last = marks.at(-1) ?? 0;
  const out: number[] = [];
  for (const v of marks) {
    const before = out.at(-1);
    const clear = before === undefined || Math.abs(to(v) - to(before)) >= apart;
    if (v === last || (clear && Math.abs(to(last) - to(v)) >= apart)) out.push(v);
  }
  return out;
}

function Ruler({ map, plane, x, y, type }: PlaceProps & { type: number }) {
  const marks = (axis: number) => {
    const [n, travel] = [map.counts[axis] ?? 1, map.travel[axis] ?? 0];
    return Array.from({ length: n }, (_, k) => (n > 1 ? (travel * k) / (n - 1) : 0));
  };
  return (
    <g class="map-ruler">
      {spaced(marks(plane.across), x, 38 * type).map((v, i, all) => (
        <text key={v} x={x(v)} y={y(0) + 14 * type} text-anchor={i > 0 && i === all.length - 1 ? "end" : "middle"}>
          {Math.round(v * 1000)}
        </text>
      ))}
      {spaced(marks(plane.up), y, 13 * type).map((v) => (
        <text key={v} x={x(0) - 5} y={y(v) + 4} text-anchor="end">
          {Math.round(v * 1000)}
        </text>
      ))}
      <text class="map-axis" x={x(map.travel[plane.across] ?? 0)} y={y(0) + 28 * type} text-anchor="end">
        {`${map.axes[plane.across]}, mm`}
      </text>
      <text class="map-axis" x={4} y={y(0) + 28 * type}>
        {`${map.axes[plane.up]}, mm upwards`}
      </text>
    </g>
  );
}

/** Here marks where the machine stands. */
function Here({ at, plane, x, y }: { at: readonly number[]; plane: Plane; x: To; y: To }) {
  const [cx, cy] = [x(at[plane.across] ?? 0), y(at[plane.up] ?? 0)];
  return <path class="map-machine" d={`M${cx - 7} ${cy}h14M${cx} ${cy - 7}v14`} />;
}

interface HitProps extends PlaceProps {
  list: Cell[];
  at: (k: number) => void;
  go: (c: Cell) => void;
}

function Hits({ map, plane, list, x, y, at, go }: HitProps) {
  const bx = bands(map.counts[plane.across] ?? 1, map.travel[plane.across] ?? 0);
  const by = bands(map.counts[plane.up] ?? 1, map.travel[plane.up] ?? 0);
  return (
    <>
      {list.map((c, k) => (
        // biome-ignore lint/a11y/noStaticElementInteractions: the map answers keys as a whole
        <rect
          key={c.index}
          class="map-hit"
          x={x(bx[c.column]!)}
          y={y(by[c.row + 1]!)}
          width={x(bx[c.column + 1]!) - x(bx[c.column]!)}
          height={y(by[c.row]!) - y(by[c.row + 1]!)}
          onMouseEnter={() => at(k)}
          onClick={() => go(c)}
        />
      ))}
    </>
  );
}

/** Legend is the ramp with its numbers; on a fine map, those of that map. */
function Legend({ map, of, name, fine }: { map: SpaceMap; of: Mapped; name: string; fine: FineMap | null }) {
  const steps = 24;
  const least = fine && of === "sag" ? fine.text[0] : map.least_text[of];
  const greatest = fine && of === "sag" ? fine.text[1] : map.greatest_text[of];
  return (
    <figure class="legend">
      <figcaption>{name}</figcaption>
      <span>{least}</span>
      <svg viewBox={`0 0 ${steps} 1`} preserveAspectRatio="none" aria-hidden="true">
        {Array.from({ length: steps }, (_, i) => (
          <rect key={i} x={i} width="1.05" height="1" fill={ramp(i / (steps - 1), scheme.value)} />
        ))}
      </svg>
      <span>{greatest}</span>
    </figure>
  );
}

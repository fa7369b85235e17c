// The drawing without WebGL: the same solids and the same eye, projected and
// painted from back to front.

import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Loops, Scene, Vec3 } from "../../api/types";
import { hovered, select, selection } from "../../state/selection";
import { type BodyMesh, Workshop } from "./bodies";
import { type Camera, fit, looking, orbit, type Size, zoom } from "./camera";
import { camera, type Looker, looker } from "./looker";
import { meant, solidsOf } from "./meant";
import { shifts } from "./motion";
import { paint } from "./paint";
import { lit, loops, plain, posed, scene } from "./stage";
import { add, type Box, emptyBox, grow } from "./vec";

/** FlatPicture draws the machine as SVG and says why there is no better picture. */
export function FlatPicture() {
  const frame = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState<Size>({ width: 800, height: 500 });
  const start = { target: [0, 0, 0] as Vec3, azimuth: 0, elevation: 0, span: 5, perspective: false };
  const [eyeAt, setEye] = useState<Camera>(looking("corner", start));
  const s = scene.value;
  const l = loops.value;
  const bodies = useMemo(() => (s ? assembled(s, l) : []), [s, l]);
  const moved = s ? shifts(s, posed.value) : new Map<number, Vec3>();
  const whole = useMemo(() => bounds(bodies, moved), [bodies, s]);
  useEffect(() => {
    const watch = new ResizeObserver(() => {
      const f = frame.current;
      if (f && f.clientWidth > 0) setSize({ width: f.clientWidth, height: f.clientHeight });
    });
    if (frame.current) watch.observe(frame.current);
    return () => watch.disconnect();
  }, []);
  useEffect(() => {
    plain.value = true;
  }, []);
  useEffect(() => setEye((c) => fit(c, size, whole)), [whole, size.width, size.height]);
  useEffect(() => {
    const mine: Looker = {
      camera: eyeAt,
      look: (to) => setEye(to),
      fit: () => setEye(fit(eyeAt, size, whole)),
      fitted: (from) => fit(from, size, whole),
    };
    looker.value = mine;
    camera.value = eyeAt;
  }, [eyeAt, size, whole]);
  useEffect(
    () => () => {
      looker.value = null;
      camera.value = null;
      plain.value = false;
    },
    [],
  );
  const picture = useMemo(() => paint(bodies, moved, eyeAt, size), [bodies, posed.value, eyeAt, size]);
  const shown = s
    ? new Set([...meant(s, selection.value), ...solidsOf(s, [...hovered.value, ...lit.value])])
    : new Set<string>();
  const key = (e: KeyboardEvent) => {
    const by: Record<string, [number, number]> = {
      ArrowLeft: [1, 0],
      ArrowRight: [-1, 0],
      ArrowUp: [0, 1],
      ArrowDown: [0, -1],
    };
    if (by[e.key]) setEye(orbit(eyeAt, by[e.key]![0] * 0.12, by[e.key]![1] * 0.12));
    else if (e.key === "+" || e.key === "-") setEye(zoom(eyeAt, size, e.key === "+" ? 1.15 : 1 / 1.15));
    else return;
    e.preventDefault();
  };
  return (
    <div class="picture" ref={frame}>
      <svg
        class="flat"
        viewBox={`0 0 ${size.width} ${size.height}`}
        role="img"
        aria-label="Drawing of the machine"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: the picture answers keys
        tabIndex={0}
        onKeyDown={key}
      >
        {picture.map((p, i) => (
          // biome-ignore lint/a11y/noStaticElementInteractions: the list of parts is the way by keys
          <g
            key={i}
            class={shown.has(p.id) ? "flat-part flat-lit" : "flat-part"}
            onClick={() => select({ kind: "part", id: p.id, parts: [p.id], path: p.path, from: "machine" })}
            onMouseEnter={() => {
              hovered.value = [p.id];
            }}
          >
            <path class="flat-faces" d={p.faces} />
            <path class="flat-lines" d={p.lines} />
          </g>
        ))}
      </svg>
      <p class="picture-note" role="note">
        This browser offers no WebGL. The drawing is a plain one: parts may cover each other wrongly, and shapes do not
        move in it. All numbers are complete.
      </p>
    </div>
  );
}

function assembled(s: Scene, l: Loops | null): BodyMesh[] {
  const bodies = new Workshop().assemble(
    s.solids.filter((x) => !x.loop),
    s.meshes,
  );
  return l ? [...bodies, ...new Workshop().assemble(l.solids, l.meshes)] : bodies;
}

function bounds(bodies: BodyMesh[], moved: ReadonlyMap<number, Vec3>): Box {
  const box = emptyBox();
  for (const b of bodies) {
    const shift = moved.get(b.body) ?? [0, 0, 0];
    grow(box, ...add(b.box.min, shift));
    grow(box, ...add(b.box.max, shift));
  }
  return box.max[0] >= box.min[0] ? box : { min: [-1, -1, 0], max: [1, 1, 2] };
}

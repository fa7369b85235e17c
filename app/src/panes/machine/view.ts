// The picture of the machine: one canvas, drawn only when something changed.

import {
  Color,
  GreaterDepth,
  Matrix4,
  NoBlending,
  OrthographicCamera,
  PerspectiveCamera,
  Scene,
  type ShaderMaterial,
  WebGLRenderer,
} from "three";
import type { Vec3 } from "../../api/types";
import type { BodyMesh } from "./bodies";
import { basis, between, type Camera, distance, eye, fieldOfView, fit, rayAt, type Size } from "./camera";
import { cutting, faces, lines, shared } from "./ink";
import { BodyLayer, LineLayer, type Moved, only, onlyMoved } from "./layers";
import { type Cut, type Hit, pick } from "./pick";
import { add, type Box, corners, dot, emptyBox, grow, sub, times } from "./vec";

/** Inks are the colours of the picture, as CSS colours. */
export interface Inks {
  ground: string;
  paper: string;
  shade: string;
  ink: string;
  faint: string;
  accent: string;
  accentWash: string;
  select: string;
  selectWash: string;
}

/** Frames is what tests read to see how long drawing takes. */
export interface Frames {
  drawn: number;
  last_ms: number;
  /** times between frames that followed each other, ms, the newest last */
  between_ms: number[];
  calls: number;
  triangles: number;
  geometries: number;
}

declare global {
  interface Window {
    __frames?: Frames;
  }
}

export type Lit = "selected" | "hovered" | "lit";

/** A frame that takes longer makes the picture coarser while it is turned, ms. */
const slow = 40;

export class View {
  private renderer: WebGLRenderer;
  private scene = new Scene();
  private common = shared();
  private paper = faces(this.common);
  private pens = {
    ink: lines(this.common, { outline: 1.9, thin: 1 }),
    rest: lines(this.common, { outline: 1.1, thin: 0, opacity: 0.5, dash: [5, 4, 5, 4] }),
    ghost: lines(this.common, { outline: 1.5, thin: 1, dash: [7, 4, 7, 4], lift: 1.2 }),
    chain: lines(this.common, { outline: 1, thin: 1, dash: [14, 3, 3, 3] }),
    space: lines(this.common, { outline: 1.2, thin: 1.2, dash: [8, 5, 8, 5] }),
    size: lines(this.common, { outline: 1, thin: 1 }),
  };
  private body = new BodyLayer({ faces: this.paper, lines: this.pens.ink }, 0);
  private loops = new BodyLayer({ faces: this.paper, lines: this.pens.ink }, 0);
  private rest = new BodyLayer({ faces: null, lines: this.pens.rest }, 10);
  private ghost = new BodyLayer({ faces: null, lines: this.pens.ghost }, 12);
  private lit: Record<Lit, { over: BodyLayer; under: BodyLayer; materials: ShaderMaterial[] }>;
  readonly plain = {
    space: new LineLayer(this.pens.space, 20),
    size: new LineLayer(this.pens.size, 22),
    chain: new LineLayer(this.pens.chain, 21),
  };
  private flat = new PerspectiveCamera((fieldOfView * 180) / Math.PI, 1, 0.1, 100);
  private parallel = new OrthographicCamera();
  private shifts: ReadonlyMap<number, Vec3> = new Map();
  private moved: { body: Moved[]; loops: Moved[] } | null = null;
  private shownIds: Record<Lit, ReadonlySet<string>> = { selected: new Set(), hovered: new Set(), lit: new Set() };
  private cut: Cut | null = null;
  private asked = 0;
  private lastFrame = 0;
  private busyUntil = 0;
  private coarse = false;
  private settle = 0;
  private way: { from: Camera; to: Camera; start: number; ms: number } | null = null;
  private swing: { hz: number; start: number } | null = null;
  private amp = 0;
  size: Size = { width: 1, height: 1 };
  camera: Camera = { target: [0, 0, 0], azimuth: -0.62, elevation: 0.36, span: 5, perspective: true };
  frames: Frames = { drawn: 0, last_ms: 0, between_ms: [], calls: 0, triangles: 0, geometries: 0 };
  /** called after each picture, so that labels follow */
  onDraw: () => void = () => {};

  /** It throws where the browser offers no WebGL. */
  constructor(readonly canvas: HTMLCanvasElement) {
    this.renderer = new WebGLRenderer({ canvas, antialias: false, alpha: false, powerPreference: "low-power" });
    this.lit = {
      selected: this.litLayers(2.6, 14),
      hovered: this.litLayers(1.9, 16),
      lit: this.litLayers(2.4, 18),
    };
    this.scene.matrixWorldAutoUpdate = true;
    for (const layer of [this.body, this.loops, this.rest, this.ghost]) this.scene.add(layer.root);
    for (const l of Object.values(this.lit)) this.scene.add(l.under.root, l.over.root);
    for (const layer of Object.values(this.plain)) this.scene.add(layer.root);
    for (const c of [this.flat, this.parallel]) {
      c.matrixAutoUpdate = false;
      c.matrixWorldAutoUpdate = false;
    }
    window.__frames = this.frames;
  }

  private litLayers(width: number, order: number) {
    const wash = faces(this.common);
    wash.polygonOffsetFactor = 0.8;
    wash.polygonOffsetUnits = 1;
    wash.blending = NoBlending;
    const over = lines(this.common, { outline: width, thin: 1.2, lift: 1.6 });
    const under = lines(this.common, { outline: 1.2, thin: 0, dash: [3, 3, 3, 3], opacity: 0.75 });
    under.depthFunc = GreaterDepth;
    return {
      over: new BodyLayer({ faces: wash, lines: over }, order),
      under: new BodyLayer({ faces: null, lines: under }, order),
      materials: [wash, over, under],
    };
  }

  colours(c: Inks): void {
    const set = (m: ShaderMaterial, name: string, value: string) => (m.uniforms[name]!.value as Color).set(value);
    this.renderer.setClearColor(new Color(c.ground), 1);
    set(this.paper, "paper", c.paper);
    set(this.paper, "shade", c.shade);
    set(this.paper, "ink", c.ink);
    set(this.pens.ink, "ink", c.ink);
    set(this.pens.rest, "ink", c.faint);
    set(this.pens.ghost, "ink", c.select);
    for (const p of [this.pens.chain, this.pens.size, this.pens.space]) set(p, "ink", c.faint);
    const tint: Record<Lit, [string, string]> = {
      selected: [c.accent, c.accentWash],
      hovered: [c.select, c.selectWash],
      lit: [c.accent, c.accentWash],
    };
    for (const [kind, [line, wash]] of Object.entries(tint)) {
      const [face, over, under] = this.lit[kind as Lit].materials as [ShaderMaterial, ShaderMaterial, ShaderMaterial];
      for (const name of ["paper", "shade"]) set(face, name, wash);
      set(face, "ink", line);
      set(over, "ink", line);
      set(under, "ink", line);
    }
    this.request();
  }

  show(bodies: BodyMesh[]): void {
    this.body.show(bodies);
    this.bend(null, 0);
    this.place(this.shifts);
  }

  showLoops(bodies: BodyMesh[]): void {
    this.loops.show(bodies);
    this.loops.at(this.shifts);
    this.relight();
  }

  /** showGhost draws another machine in broken lines over this one, or none. */
  showGhost(bodies: BodyMesh[] | null, shifts: ReadonlyMap<number, Vec3>): void {
    if (bodies) this.ghost.show(bodies);
    else this.ghost.clear();
    this.ghost.at(shifts);
    this.request();
  }

  moveGhost(shifts: ReadonlyMap<number, Vec3>): void {
    this.ghost.at(shifts);
    this.request();
  }

  place(shifts: ReadonlyMap<number, Vec3>): void {
    this.shifts = shifts;
    for (const layer of [this.body, this.loops, this.rest]) layer.at(shifts);
    this.relight();
  }

  /** bend draws the machine deformed, amp times too large, over its shape at rest. */
  bend(moved: { body: Moved[]; loops: Moved[] } | null, amp: number): void {
    this.moved = moved;
    this.body.bend(moved?.body ?? null);
    this.loops.bend(moved?.loops ?? null);
    if (moved && this.rest.bodies.length === 0) {
      this.rest.show(this.body.bodies);
      this.rest.at(this.shifts);
    } else if (!moved) this.rest.clear();
    this.amp = moved ? amp : 0;
    this.common.amp.value = this.amp;
    this.relight();
  }

  /** vibrate lets the deformed shape swing to and fro with so many turns a second; null holds it still. */
  vibrate(hz: number | null): void {
    this.swing = hz === null ? null : { hz, start: performance.now() };
    this.common.amp.value = this.amp;
    this.request();
  }

  /** still shows the swinging shape at one end of its way: 1 or -1. */
  still(side: 1 | -1): void {
    this.swing = null;
    this.common.amp.value = this.amp * side;
    this.request();
  }

  light(kind: Lit, ids: ReadonlySet<string>): void {
    this.shownIds[kind] = ids;
    this.relight();
  }

  private relight(): void {
    for (const [kind, l] of Object.entries(this.lit)) {
      const ids = this.shownIds[kind as Lit];
      const parts: BodyMesh[] = [];
      const bent: (Moved | null)[] = [];
      for (const which of ids.size ? (["body", "loops"] as const) : [])
        this[which].bodies.forEach((b, i) => {
          const part = only(b, ids);
          if (!part) return;
          const m = this.moved?.[which][i];
          parts.push(part);
          bent.push(m ? onlyMoved(m, part.pieces) : null);
        });
      if (parts.length === 0 && l.over.bodies.length === 0) continue;
      for (const layer of [l.over, l.under]) {
        layer.show(parts);
        layer.at(this.shifts);
        layer.bend(bent);
      }
    }
    this.request();
  }

  /** section hides what lies beyond a plane. */
  section(cut: Cut | null): void {
    this.cut = cut;
    if (cut) this.common.cut.value.set(...cut.normal, cut.at);
    else this.common.cut.value.set(0, 0, 0, 1);
    this.pens.ink.uniforms.all!.value = cut ? 1 : 0;
    const lit = Object.values(this.lit).flatMap((l) => l.materials);
    for (const m of [this.paper, this.pens.ink, this.pens.rest, ...lit]) cutting(m, cut !== null);
    this.request();
  }

  pick(x: number, y: number): Hit | null {
    const amp = this.common.amp.value;
    const drawn = (["body", "loops"] as const).flatMap((which) =>
      this[which].bodies.map((mesh, i) => ({
        mesh,
        shift: this.shifts.get(mesh.body) ?? ([0, 0, 0] as Vec3),
        moved: this.moved?.[which][i]?.faces ?? null,
        amp,
      })),
    );
    return pick(rayAt(this.camera, this.size, x, y), drawn, this.cut);
  }

  /** bounds is the box around everything that is drawn. */
  bounds(): Box {
    const box = emptyBox();
    for (const layer of [this.body, this.loops, this.ghost])
      for (const b of layer.bodies) {
        const s = this.shifts.get(b.body) ?? [0, 0, 0];
        if (!(b.box.max[0] >= b.box.min[0])) continue;
        grow(box, ...add(b.box.min, s));
        grow(box, ...add(b.box.max, s));
      }
    return box.max[0] >= box.min[0] ? box : { min: [-1, -1, 0], max: [1, 1, 2] };
  }

  resize(width: number, height: number): void {
    if (!(width > 0 && height > 0)) return;
    this.size = { width, height };
    this.sharpen();
    this.draw();
  }

  fit(ms = 0): void {
    this.look(fit(this.camera, this.size, this.bounds()), ms);
  }

  /** look moves the eye, at once or over some time. */
  look(to: Camera, ms = 0): void {
    if (ms > 0) this.way = { from: this.camera, to, start: performance.now(), ms };
    else {
      this.way = null;
      this.camera = to;
    }
    this.busyUntil = performance.now() + 180;
    this.request();
  }

  request(): void {
    if (!this.asked) this.asked = requestAnimationFrame(this.frame);
  }

  private frame = (now: number): void => {
    this.asked = 0;
    if (this.way) {
      const s = Math.min(1, (now - this.way.start) / this.way.ms);
      this.camera = between(this.way.from, this.way.to, 1 - (1 - Math.max(0, s)) ** 3);
      if (s >= 1) this.way = null;
      this.busyUntil = now + 180;
      this.request();
    }
    if (this.swing) {
      this.common.amp.value = this.amp * Math.sin(2 * Math.PI * this.swing.hz * ((now - this.swing.start) / 1000));
      this.request();
    }
    const since = now - this.lastFrame;
    if (since < 400) {
      this.frames.between_ms.push(since);
      if (this.frames.between_ms.length > 240) this.frames.between_ms.shift();
    }
    this.lastFrame = now;
    const busy = now < this.busyUntil || this.swing !== null;
    if (busy && !this.coarse && since > slow && since < 400) this.blur();
    this.draw();
    if (this.coarse && !this.swing) {
      clearTimeout(this.settle);
      this.settle = window.setTimeout(() => {
        this.sharpen();
        this.request();
      }, 200);
    }
  };

  private blur(): void {
    this.coarse = true;
    this.renderer.setPixelRatio(Math.max(0.5, devicePixelRatio * 0.5));
    this.renderer.setSize(this.size.width, this.size.height, false);
  }

  private sharpen(): void {
    this.coarse = false;
    this.renderer.setPixelRatio(Math.min(2, devicePixelRatio));
    this.renderer.setSize(this.size.width, this.size.height, false);
  }

  /** draw makes the picture now. */
  draw(): void {
    const start = performance.now();
    const camera = this.aim();
    const ratio = this.renderer.getPixelRatio();
    this.common.view.value.set(this.size.width * ratio, this.size.height * ratio);
    this.renderer.render(this.scene, camera);
    this.frames.drawn++;
    this.frames.last_ms = performance.now() - start;
    this.frames.calls = this.renderer.info.render.calls;
    this.frames.triangles = this.renderer.info.render.triangles;
    this.frames.geometries = this.renderer.info.memory.geometries;
    this.onDraw();
  }

  /** aim gives the camera of the graphics library the place and bounds of ours. */
  private aim(): PerspectiveCamera | OrthographicCamera {
    const c = this.camera;
    const { right, up, back } = basis(c);
    const from = c.perspective ? eye(c) : add(c.target, times(Math.max(50, c.span * 4), back));
    const aspect = this.size.width / this.size.height;
    const depths = corners(this.bounds()).map((p) => dot(sub(from, p), back));
    const slack = 0.5 + this.amp * 0.01;
    const far = Math.max(...depths) + slack + c.span;
    const near = Math.max(c.perspective ? distance(c) * 0.02 : 0.01, Math.min(...depths) - slack);
    const camera = c.perspective ? this.flat : this.parallel;
    camera.near = near;
    camera.far = Math.max(far, near * 1.01);
    if (camera instanceof PerspectiveCamera) camera.aspect = aspect;
    else {
      camera.top = c.span / 2;
      camera.bottom = -c.span / 2;
      camera.right = (c.span / 2) * aspect;
      camera.left = -camera.right;
    }
    camera.updateProjectionMatrix();
    const m = new Matrix4().set(
      right[0],
      up[0],
      back[0],
      from[0],
      right[1],
      up[1],
      back[1],
      from[1],
      right[2],
      up[2],
      back[2],
      from[2],
      0,
      0,
      0,
      1,
    );
    camera.matrix.copy(m);
    camera.matrixWorld.copy(m);
    camera.matrixWorldInverse.copy(m).invert();
    if (c.perspective) this.common.eye.value.set(...from, 1);
    else this.common.eye.value.set(...back, 0);
    const perMetre = (this.size.height * this.renderer.getPixelRatio()) / c.span;
    this.common.perMetre.value.set(perMetre, perMetre * distance(c));
    return camera;
  }

  dispose(): void {
    cancelAnimationFrame(this.asked);
    clearTimeout(this.settle);
    for (const layer of [this.body, this.loops, this.rest, this.ghost]) layer.clear();
    for (const l of Object.values(this.lit)) {
      l.over.clear();
      l.under.clear();
      for (const m of l.materials) m.dispose();
    }
    for (const layer of Object.values(this.plain)) layer.show(null);
    for (const p of Object.values(this.pens)) p.dispose();
    this.paper.dispose();
    this.renderer.dispose();
  }
}

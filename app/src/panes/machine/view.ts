// The picture of the machine: one canvas, drawn only when something changed.

import { Color, type OrthographicCamera, type PerspectiveCamera, Scene, WebGLRenderer } from "three";
import type { Vec3 } from "../../api/types";
import type { BodyMesh } from "./bodies";
import { alike, between, type Camera, distance, fit, rayAt, type Size } from "./camera";
import { Cameras } from "./cameras";
import { shared } from "./ink";
import { BodyLayer, LineLayer, type Moved, only, onlyMoved, SheetLayer } from "./layers";
import { type Inks, type Lit, Pens } from "./pens";
import { type Cut, type Hit, pick } from "./pick";
import type { Sheet } from "./stage";
import { add, type Box, emptyBox, grow, sub } from "./vec";

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

/** A frame that takes longer makes the picture coarser while it is turned, ms. */
const slow = 40;

/** Part is what of the machine is laid out by itself: its bodies, the cable carriers, the payload. */
type Part = "body" | "loops" | "load";
/** paper is the shape of a printed picture: as wide as the page, and a good half as high. */
const paper: Size = { width: 1100, height: 620 };

const parts = ["body", "loops", "load"] as const;

export class View {
  private renderer: WebGLRenderer;
  private scene = new Scene();
  private common = shared();
  private pens = new Pens(this.common);
  private body = new BodyLayer({ faces: this.pens.paper, lines: this.pens.ink }, 0);
  private loops = new BodyLayer({ faces: this.pens.paper, lines: this.pens.ink }, 0);
  private load = new BodyLayer({ faces: this.pens.paper, lines: this.pens.ink }, 0);
  private rest = new BodyLayer({ faces: null, lines: this.pens.rest }, 10);
  private ghost = new BodyLayer({ faces: null, lines: this.pens.ghost }, 12);
  private lit: Record<Lit, { over: BodyLayer; under: BodyLayer }>;
  readonly plain = {
    space: new LineLayer(this.pens.space, 20),
    size: new LineLayer(this.pens.size, 22),
    tool: new LineLayer(this.pens.tool, 21),
  };
  private sheet = new SheetLayer(19);
  private cameras = new Cameras();
  private shifts: ReadonlyMap<number, Vec3> = new Map();
  private moved: Record<Part, Moved[]> | null = null;
  private shownIds: Record<Lit, ReadonlySet<string>> = { selected: new Set(), hovered: new Set(), lit: new Set() };
  private cut: Cut | null = null;
  private asked = 0;
  private lastFrame = 0;
  private busyUntil = 0;
  private coarse = false;
  private settle = 0;
  private slowOnes = 0;
  private way: { from: Camera; to: Camera; start: number; ms: number } | null = null;
  private swing: { hz: number; start: number } | null = null;
  private amp = 0;
  /** room to leave around the machine when it is shown whole, m */
  around = 0;
  size: Size = { width: 1, height: 1 };
  camera: Camera = { target: [0, 0, 0], azimuth: -0.62, elevation: 0.36, span: 5, perspective: true };
  frames: Frames = { drawn: 0, last_ms: 0, between_ms: [], calls: 0, triangles: 0, geometries: 0 };
  /** called after each picture, so that labels follow */
  onDraw: () => void = () => {};

  /** It throws where the browser offers no WebGL. */
  constructor(readonly canvas: HTMLCanvasElement) {
    this.renderer = new WebGLRenderer({ canvas, antialias: false, alpha: false, powerPreference: "low-power" });
    this.lit = {
      selected: this.litLayers("selected", 14),
      hovered: this.litLayers("hovered", 16),
      lit: this.litLayers("lit", 18),
    };
    this.scene.matrixWorldAutoUpdate = true;
    for (const layer of [this.body, this.loops, this.load, this.rest, this.ghost]) this.scene.add(layer.root);
    for (const l of Object.values(this.lit)) this.scene.add(l.under.root, l.over.root);
    for (const layer of [...Object.values(this.plain), this.sheet]) this.scene.add(layer.root);
    // The library brings everything back after a lost context; what is missing is a new picture.
    canvas.addEventListener("webglcontextrestored", () => this.request());
    window.__frames = this.frames;
  }

  private litLayers(kind: Lit, order: number) {
    const p = this.pens.lit[kind];
    return {
      over: new BodyLayer({ faces: p.wash, lines: p.over }, order),
      under: new BodyLayer({ faces: null, lines: p.under }, order),
    };
  }

  colours(c: Inks): void {
    this.renderer.setClearColor(new Color(c.ground), 1);
    this.pens.colours(c);
    this.request();
  }

  show(bodies: BodyMesh[]): void {
    this.body.show(bodies);
    this.bend(null, 0);
    this.place(this.shifts);
  }

  showLoad(bodies: BodyMesh[]): void {
    this.load.show(bodies);
    this.load.at(this.shifts);
    this.relight();
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

  /** showSheet draws a coloured plane, as of a map of the work space. */
  showSheet(sheet: Sheet | null): void {
    this.sheet.show(sheet);
    this.request();
  }

  place(shifts: ReadonlyMap<number, Vec3>): void {
    this.shifts = shifts;
    this.busyUntil = performance.now() + 180;
    for (const layer of [this.body, this.loops, this.load, this.rest]) layer.at(shifts);
    this.relight();
  }

  /** bend draws the machine deformed, amp times too large, over its shape at rest. */
  bend(moved: Record<Part, Moved[]> | null, amp: number): void {
    this.moved = moved;
    for (const which of parts) this[which].bend(moved?.[which] ?? null);
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
      const pieces: BodyMesh[] = [];
      const bent: (Moved | null)[] = [];
      for (const which of ids.size ? parts : [])
        this[which].bodies.forEach((b, i) => {
          const part = only(b, ids);
          if (!part) return;
          const m = this.moved?.[which][i];
          pieces.push(part);
          bent.push(m ? onlyMoved(m, part.pieces) : null);
        });
      if (pieces.length === 0 && l.over.bodies.length === 0) continue;
      for (const layer of [l.over, l.under]) {
        layer.show(pieces);
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
    this.pens.cut(cut !== null);
    this.request();
  }

  pick(x: number, y: number): Hit | null {
    const amp = this.common.amp.value;
    const drawn = parts.flatMap((which) =>
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
    for (const layer of [this.body, this.loops, this.load, this.ghost])
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
    const whole = alike(this.camera, this.fitted(this.camera));
    this.size = { width, height };
    if (whole) this.camera = this.fitted(this.camera);
    this.sharpen();
    this.draw();
  }

  fit(ms = 0): void {
    this.look(this.fitted(this.camera), ms);
  }

  /** fitted shows the whole machine from the direction of a camera. */
  fitted(from: Camera): Camera {
    const box = this.bounds();
    const more: Vec3 = [this.around, this.around, this.around / 3];
    return fit(from, this.size, { min: sub(box.min, more), max: add(box.max, more) });
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
    this.slowOnes = since > slow && since < 400 ? this.slowOnes + 1 : 0;
    if (busy && !this.coarse && this.slowOnes > 1) this.blur();
    this.draw();
    if (this.coarse && !this.swing) {
      clearTimeout(this.settle);
      this.settle = window.setTimeout(
        () => {
          this.sharpen();
          this.request();
        },
        Math.max(350, 4 * Math.min(since, 1000)),
      );
    }
  };

  private blur(): void {
    this.coarse = true;
    this.grain(Math.max(0.6, devicePixelRatio * 0.6));
  }

  private sharpen(): void {
    this.coarse = false;
    this.grain(Math.min(2, devicePixelRatio));
  }

  /** grain sets how many pixels are computed for one of the page, and lines to suit. */
  private grain(ratio: number): void {
    const { width, height } = this.size;
    this.renderer.setPixelRatio(ratio);
    this.renderer.setSize(width, height, false);
    this.pens.weight(ratio * Math.min(1.7, Math.max(0.6, Math.min(width, height) / 560)));
  }

  /** draw makes the picture now. */
  draw(): void {
    const start = performance.now();
    const camera = this.aim();
    const ratio = this.renderer.getPixelRatio();
    this.common.view.value.set(this.size.width * ratio, this.size.height * ratio);
    // Near parts are larger than those at the target.
    const nearest = this.common.perMetre.value.x * (this.camera.perspective ? 3 : 1);
    for (const layer of [this.body, this.loops, this.load]) layer.spare(nearest);
    this.rest.spare(0);
    this.renderer.render(this.scene, camera);
    this.frames.drawn++;
    this.frames.last_ms = performance.now() - start;
    this.frames.calls = this.renderer.info.render.calls;
    this.frames.triangles = this.renderer.info.render.triangles;
    this.frames.geometries = this.renderer.info.memory.geometries;
    this.onDraw();
  }

  /** image is the whole machine, from where it is seen, as a PNG address: finely drawn in the given colours, as for paper. */
  image(inks: Inks, own: Inks): string {
    this.renderer.setClearColor(new Color(inks.ground), 1);
    this.pens.colours(inks);
    const { size, camera } = this;
    this.size = paper;
    this.camera = this.fitted(camera);
    this.grain(2);
    this.draw();
    const out = this.canvas.toDataURL("image/png");
    this.size = size;
    this.camera = camera;
    this.sharpen();
    this.colours(own);
    this.draw();
    return out;
  }

  /** aim puts the graphics library's camera where ours is, and tells the pens about it. */
  private aim(): PerspectiveCamera | OrthographicCamera {
    const { camera, from, back } = this.cameras.aim(this.camera, this.size, this.bounds(), 0.5 + this.amp * 0.01);
    if (this.camera.perspective) this.common.eye.value.set(...from, 1);
    else this.common.eye.value.set(...back, 0);
    const perMetre = (this.size.height * this.renderer.getPixelRatio()) / this.camera.span;
    this.common.perMetre.value.set(perMetre, perMetre * distance(this.camera));
    return camera;
  }

  dispose(): void {
    cancelAnimationFrame(this.asked);
    clearTimeout(this.settle);
    for (const layer of [this.body, this.loops, this.load, this.rest, this.ghost]) layer.clear();
    for (const l of Object.values(this.lit)) {
      l.over.clear();
      l.under.clear();
    }
    for (const layer of Object.values(this.plain)) layer.show(null);
    this.sheet.dispose();
    this.pens.dispose();
    this.renderer.dispose();
  }
}

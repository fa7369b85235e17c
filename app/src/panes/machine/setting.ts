// Puts what the page knows into the picture, and takes it out again.

import { effect, untracked } from "@preact/signals";
import type { Loops, Scene, Vec3 } from "../../api/types";
import { loaded } from "../../state/pose";
import { hovered, selection } from "../../state/selection";
import { scheme } from "../../state/settings";
import { Bent, type Hold, hold, type Stretch } from "./bend";
import { type BodyMesh, Workshop } from "./bodies";
import { projector } from "./camera";
import { type Label, Labels } from "./labels";
import type { Moved } from "./layers";
import { camera } from "./looker";
import { meant, solidsOf } from "./meant";
import { shifts, toolAt } from "./motion";
import type { Inks } from "./pens";
import { boxLines, crossLines, sizeLines } from "./sizes";
import {
  type Bending,
  bending,
  ghost,
  lit,
  loops,
  posed,
  type Section,
  scene,
  section,
  sheet,
  type Toggles,
  toggles,
} from "./stage";
import { diagonal } from "./vec";
import type { View } from "./view";

/** Setting ties one picture to the signals of the page. */
export class Setting {
  private ends: (() => void)[] = [];
  private workshops = { body: new Workshop(), loops: new Workshop(), load: new Workshop(), ghost: new Workshop() };
  private bodies: BodyMesh[] = [];
  private carriers: BodyMesh[] = [];
  private load: BodyMesh[] = [];
  private holds = new WeakMap<BodyMesh, { faces: Hold; ends: Hold }>();
  private labels: Labels;
  private shownFile = "";

  constructor(
    private view: View,
    frame: HTMLElement,
    host: HTMLElement,
  ) {
    this.labels = new Labels(host);
    const print = () => this.print(frame);
    addEventListener("beforeprint", print);
    this.ends.push(() => removeEventListener("beforeprint", print));
    const watch = new ResizeObserver(() => view.resize(frame.clientWidth, frame.clientHeight));
    watch.observe(frame);
    this.ends.push(() => watch.disconnect());
    view.resize(frame.clientWidth, frame.clientHeight);
    view.onDraw = () => this.follow();
    this.on(() => {
      void scheme.value;
      view.colours(inks(frame));
    });
    this.on(() => {
      const s = scene.value;
      untracked(() => this.machine(s));
    });
    this.on(() => {
      const at = posed.value;
      untracked(() => this.place(at));
    });
    this.on(() => {
      const l = loops.value;
      untracked(() => this.loops(l));
    });
    this.on(() => {
      const held = loaded.value;
      untracked(() => this.payload(held));
    });
    this.on(() => {
      const b = bending.value;
      untracked(() => this.bend(b));
    });
    this.on(() => {
      const g = ghost.value;
      untracked(() => this.ghost(g));
    });
    this.on(() => view.light("selected", scene.value ? meant(scene.value, selection.value) : new Set()));
    this.on(() => view.light("hovered", scene.value ? solidsOf(scene.value, hovered.value) : new Set()));
    this.on(() => view.light("lit", scene.value ? solidsOf(scene.value, lit.value) : new Set()));
    this.on(() => {
      const c = section.value;
      untracked(() => this.cut(c));
    });
    this.on(() => {
      const t = toggles.value;
      untracked(() => this.marks(t));
    });
    this.on(() => view.showSheet(sheet.value));
  }

  private on(does: () => void): void {
    this.ends.push(effect(does));
  }

  private machine(s: Scene | null): void {
    if (!s) return;
    this.bodies = this.workshops.body.assemble(
      s.solids.filter((x) => !x.loop && x.group !== "payload"),
      s.meshes,
    );
    this.view.show(this.bodies);
    this.payload(loaded.value);
    this.place(posed.value);
    this.bend(bending.value);
    this.cut(section.value);
    // A machine that is new to the picture is shown whole; an edit does not move the eye.
    if (this.shownFile !== s.name) {
      this.shownFile = s.name;
      this.view.fit();
    }
    this.marks(toggles.value);
  }

  private place(at: readonly number[]): void {
    const s = scene.value;
    if (!s) return;
    this.view.place(shifts(s, at));
    if (ghost.value) this.view.moveGhost(shifts(ghost.value, at));
    this.tool();
  }

  /** payload is drawn only where the tool holds it. */
  private payload(held: boolean): void {
    const s = scene.value;
    const solids = s && held ? s.solids.filter((x) => x.group === "payload") : [];
    this.load = this.workshops.load.assemble(solids, s?.meshes ?? []);
    this.view.showLoad(this.load);
    if (bending.value) this.bend(bending.value);
  }

  private loops(l: Loops | null): void {
    this.carriers = l ? this.workshops.loops.assemble(l.solids, l.meshes) : [];
    this.view.showLoops(this.carriers);
    if (bending.value) this.bend(bending.value);
  }

  private ghost(g: Scene | null): void {
    if (g) this.view.showGhost(this.workshops.ghost.assemble(g.solids, g.meshes), shifts(g, posed.value));
    else this.view.showGhost(null, new Map());
  }

  private bend(b: Bending | null): void {
    const s = scene.value;
    if (!b || !s) {
      this.view.bend(null, 0);
      this.view.vibrate(null);
      return;
    }
    const bent = new Bent(b.shape, s.members);
    const at = shifts(s, posed.value);
    const moved = (list: BodyMesh[]): Moved[] =>
      list.map((m) => {
        const h = this.hold(m, s);
        const shift = at.get(m.body) ?? ([0, 0, 0] as Vec3);
        const out = { faces: new Float32Array(m.positions.length), ends: new Float32Array(m.ends.length) };
        bent.moved(m.positions, h.faces, m.body, shift, out.faces);
        bent.moved(m.ends, h.ends, m.body, shift, out.ends);
        return out;
      });
    this.view.bend({ body: moved(this.bodies), loops: moved(this.carriers), load: moved(this.load) }, b.factor);
    if (b.swings === null) this.view.still(b.side);
    else this.view.vibrate(b.swings);
  }

  /** hold is how a body's corners and edge ends are tied to the members; found once. */
  private hold(m: BodyMesh, s: Scene): { faces: Hold; ends: Hold } {
    let h = this.holds.get(m);
    if (!h) {
      const stretches = (what: "faces" | "edges", each: number): Stretch[] =>
        m.pieces.map((p) => ({ solid: p.solid.of || p.solid.id, from: p[what][0] * each, to: p[what][1] * each }));
      h = {
        faces: hold(m.positions, stretches("faces", 3), s.members, m.body),
        ends: hold(m.ends, stretches("edges", 2), s.members, m.body),
      };
      this.holds.set(m, h);
    }
    return h;
  }

  private cut(c: Section | null): void {
    if (!c || !scene.value) {
      this.view.section(null);
      return;
    }
    const box = this.view.bounds();
    const place = box.min[c.axis] + c.at * (box.max[c.axis] - box.min[c.axis]);
    const normal: Vec3 = [0, 0, 0];
    normal[c.axis] = c.far ? 1 : -1;
    this.view.section({ normal, at: c.far ? place : -place });
  }

  /** marks are the names, sizes and the box of the work space. */
  private marks(show: Toggles): void {
    const s = scene.value;
    if (!s) return;
    const box = this.view.bounds();
    const size = diagonal(box);
    const labels: Label[] = [];
    const lines: number[] = [];
    if (show.names)
      for (const p of s.points) {
        lines.push(...crossLines(p.at, 0.008 * size));
        labels.push({ key: p.name, text: p.name.replaceAll("_", " "), at: p.at, kind: "name" });
      }
    if (show.sizes)
      for (const l of sizeLines(s.dims, box)) {
        lines.push(...l.ends);
        labels.unshift({ key: l.label.name, text: l.label.text, at: l.label.at, kind: "size", along: l.label.along });
      }
    const around = show.sizes ? 0.11 * size : 0;
    if (around > this.view.around) {
      this.view.around = around;
      this.view.fit();
    }
    this.view.around = around;
    const space = show.space ? boxLines(s.workspace) : [];
    this.view.plain.space.show(space.length ? new Float32Array(space) : null);
    this.view.plain.size.show(lines.length ? new Float32Array(lines) : null);
    this.tool();
    this.labels.show(labels);
    this.view.request();
  }

  /** tool marks the tool point. */
  private tool(): void {
    const s = scene.value;
    const at =
      s && toggles.value.names ? crossLines(toolAt(s, posed.value), 0.016 * diagonal(this.view.bounds())) : null;
    this.view.plain.tool.show(at ? new Float32Array(at) : null);
  }

  /** print leaves an image for the printed page, where a canvas of this kind comes out empty. */
  private print(frame: HTMLElement): void {
    const image = frame.querySelector<HTMLImageElement>("img.printed");
    if (image) image.src = this.view.image(onPaper, inks(frame));
  }

  private follow(): void {
    const { camera: c, size } = this.view;
    camera.value = c;
    this.labels.place(projector(c, size), size.width, size.height);
  }

  dispose(): void {
    for (const end of this.ends) end();
    this.view.onDraw = () => {};
    this.labels.show([]);
    camera.value = null;
  }
}

/** inks reads the colours of the page's scheme. */
export function inks(from: HTMLElement): Inks {
  const style = getComputedStyle(from);
  const c = (name: string) => style.getPropertyValue(name).trim();
  return {
    ground: c("--paper"),
    paper: c("--sheet"),
    shade: c("--drawn-shade") || c("--well"),
    ink: c("--ink"),
    faint: c("--ink-3"),
    accent: c("--accent"),
    accentWash: c("--accent-wash"),
    select: c("--select"),
    selectWash: c("--select-wash"),
  };
}

/** onPaper are the colours of a printed drawing. */
const onPaper: Inks = {
  ground: "#ffffff",
  paper: "#ffffff",
  shade: "#e8e8e8",
  ink: "#000000",
  faint: "#555555",
  accent: "#7a2a14",
  accentWash: "#f3e4df",
  select: "#3f5f7d",
  selectWash: "#e6ecf1",
};

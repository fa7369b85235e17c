// The pens of the drawing: how thick, how broken and in which colour each kind of line is.

import { type Color, GreaterDepth, NoBlending, type ShaderMaterial } from "three";
import { cutting, faces, lines, type Shared } from "./ink";

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

/** Lit is why a part stands out. */
export type Lit = "selected" | "hovered" | "lit";

interface LitPens {
  wash: ShaderMaterial;
  over: ShaderMaterial;
  under: ShaderMaterial;
}

export class Pens {
  readonly paper: ShaderMaterial;
  readonly ink: ShaderMaterial;
  readonly rest: ShaderMaterial;
  readonly ghost: ShaderMaterial;
  readonly space: ShaderMaterial;
  readonly size: ShaderMaterial;
  readonly tool: ShaderMaterial;
  readonly lit: Record<Lit, LitPens>;

  constructor(common: Shared) {
    this.paper = faces(common);
    this.ink = lines(common, { outline: 1.8, thin: 1 });
    const atRest = { ...common, amp: { value: 0 } };
    this.rest = lines(atRest, { outline: 1.1, thin: 0, opacity: 0.6, dash: [5, 4, 5, 4] });
    this.ghost = lines(atRest, { outline: 1.5, thin: 0.8, dash: [7, 4, 7, 4], lift: 1.2 });
    this.space = lines(atRest, { outline: 1.2, thin: 1.2, dash: [8, 5, 8, 5] });
    this.size = lines(atRest, { outline: 1, thin: 1 });
    this.tool = lines(atRest, { outline: 1.4, thin: 1.4, dash: [9, 3, 3, 3], lift: 60 });
    this.lit = {
      selected: litPens(common, 2.8),
      hovered: litPens(common, 2),
      lit: litPens(common, 2.4),
    };
  }

  colours(c: Inks): void {
    set(this.paper, "paper", c.paper);
    set(this.paper, "shade", c.shade);
    set(this.paper, "ink", c.ink);
    set(this.ink, "ink", c.ink);
    set(this.rest, "ink", c.faint);
    set(this.ghost, "ink", c.select);
    set(this.tool, "ink", c.accent);
    for (const p of [this.size, this.space]) set(p, "ink", c.faint);
    const tint: Record<Lit, [string, string]> = {
      selected: [c.accent, c.accentWash],
      hovered: [c.select, c.selectWash],
      lit: [c.accent, c.accentWash],
    };
    for (const [kind, [line, wash]] of Object.entries(tint)) {
      const p = this.lit[kind as Lit];
      for (const name of ["paper", "shade"]) set(p.wash, name, wash);
      for (const m of [p.wash, p.over, p.under]) set(m, "ink", line);
    }
  }

  /** weight makes lines heavier or finer, so that a small picture is not all ink. */
  weight(factor: number): void {
    const own = [this.ink, this.rest, this.ghost, this.space, this.size, this.tool];
    for (const m of [...own, ...Object.values(this.lit).flatMap((p) => [p.over, p.under])]) weigh(m, factor);
    this.paper.uniforms.hatch!.value = 6 * Math.max(1, factor);
  }

  /** cut lets all that belongs to the machine end at the cut. */
  cut(on: boolean): void {
    this.ink.uniforms.all!.value = on ? 1 : 0;
    for (const m of [this.paper, this.ink, this.rest, ...this.ofLit()]) cutting(m, on);
  }

  private ofLit(): ShaderMaterial[] {
    return Object.values(this.lit).flatMap((p) => [p.wash, p.over, p.under]);
  }

  dispose(): void {
    const own = [this.paper, this.ink, this.rest, this.ghost, this.space, this.size, this.tool];
    for (const m of [...own, ...this.ofLit()]) m.dispose();
  }
}

function set(m: ShaderMaterial, name: string, value: string): void {
  (m.uniforms[name]!.value as Color).set(value);
}

const drawn = new WeakMap<ShaderMaterial, [outline: number, thin: number]>();

function weigh(m: ShaderMaterial, factor: number): void {
  const { outline, thin } = m.uniforms as { outline: { value: number }; thin: { value: number } };
  const own = drawn.get(m) ?? [outline.value, thin.value];
  drawn.set(m, own);
  outline.value = own[0] * factor;
  thin.value = own[1] * (factor < 1 ? factor : 1 + 0.7 * (factor - 1));
}

/** litPens wash the faces of a part, outline it, and dash what of it is hidden. */
function litPens(common: Shared, width: number): LitPens {
  const wash = faces(common);
  wash.polygonOffsetFactor = 0.8;
  wash.polygonOffsetUnits = 1;
  wash.blending = NoBlending;
  const over = lines(common, { outline: width, thin: 1.2, lift: 1.6 });
  const under = lines(common, { outline: 1.2, thin: 0, dash: [3, 3, 3, 3], opacity: 0.75 });
  under.depthFunc = GreaterDepth;
  return { wash, over, under };
}

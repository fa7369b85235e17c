// A plot in the page's own look: ink on paper, no legend box, a play head.

import uPlot from "uplot";
import "uplot/dist/uPlot.min.css";

/** Line is one curve. */
export interface Line {
  name: string;
  values: (number | null)[];
  /** how it is drawn: which of the dashes and inks */
  style: number;
}

/** Level is a value to hold against: drawn across, with its words at the right. */
export interface Level {
  value: number;
  words: string;
  wrong?: boolean;
}

export interface Plotted {
  title: string;
  x: number[];
  lines: Line[];
  levels: Level[];
  height: number;
  /** names on the lines are needed */
  named: boolean;
  zero: boolean;
}

interface Look {
  ink: string;
  faint: string;
  line: string;
  accent: string;
  select: string;
  font: string;
}

const dashes: number[][] = [[], [7, 3], [2, 3], [9, 3, 2, 3]];

/** look reads the colours of the page. */
export function look(from: HTMLElement): Look {
  const style = getComputedStyle(from);
  const c = (name: string) => style.getPropertyValue(name).trim();
  const size = Math.max(10, Number.parseFloat(c("--small")) - 1 || 11);
  return {
    ink: c("--ink"),
    faint: c("--ink-3"),
    line: c("--line"),
    accent: c("--accent"),
    select: c("--select"),
    font: `${size}px ${style.fontFamily}`,
  };
}

/** Plot draws one chart and lets its time be set by pointer. */
export class Plot {
  private chart: uPlot;
  private at: number | null = null;

  constructor(
    host: HTMLElement,
    private what: Plotted,
    width: number,
    private colours: Look,
    set: ((x: number) => void) | null,
  ) {
    const { ink, faint, line, font, select } = colours;
    const axis = { stroke: faint, font, grid: { stroke: line, width: 1 }, ticks: { show: false }, gap: 3 };
    const tall = Number.parseFloat(font) + 8;
    this.chart = new uPlot(
      {
        width,
        height: what.height,
        padding: [Number.parseFloat(font) + 6, what.named || what.levels.length > 0 ? 74 : 10, 0, 0],
        legend: { show: false },
        cursor: {
          show: set !== null,
          x: false,
          y: false,
          points: { show: false },
          drag: { setScale: false, x: false, y: false },
        },
        scales: { x: { time: false }, y: { range: (_u, low, high) => this.range(low, high) } },
        axes: [
          { ...axis, size: tall },
          { ...axis, size: 50, values: (_u, values) => values.map((v) => `${v}`) },
        ],
        series: [
          {},
          ...what.lines.map((l) => ({
            stroke: l.style % 2 === 0 ? ink : select,
            width: 1.5,
            dash: dashes[l.style % dashes.length]!,
            points: { show: false },
          })),
        ],
        hooks: { draw: [(u) => this.over(u)] },
      },
      [what.x, ...what.lines.map((l) => l.values)] as uPlot.AlignedData,
      host,
    );
    if (set) this.scrub(set);
  }

  private range(low: number, high: number): [number, number] {
    const levels = this.what.levels.map((l) => l.value);
    const all = [low, high, ...levels, ...(this.what.zero ? [0] : [])].filter((v) => Number.isFinite(v));
    const [a, b] = [Math.min(...all), Math.max(...all)];
    const slack = (b - a || Math.abs(b) || 1) * 0.07;
    return [a < 0 || !this.what.zero ? a - slack : a, b + slack];
  }

  private scrub(set: (x: number) => void): void {
    const over = this.chart.over;
    let held = false;
    const to = (e: PointerEvent) => set(this.chart.posToVal(e.clientX - over.getBoundingClientRect().left, "x"));
    over.addEventListener("pointerdown", (e) => {
      held = true;
      over.setPointerCapture(e.pointerId);
      to(e);
    });
    over.addEventListener("pointermove", (e) => {
      if (held) to(e);
    });
    over.addEventListener("pointerup", () => {
      held = false;
    });
  }

  /** head moves the play head. */
  head(x: number): void {
    this.at = x;
    this.chart.redraw(false, false);
  }

  resize(width: number): void {
    this.chart.setSize({ width, height: this.what.height });
  }

  /** over draws levels, names and the play head. */
  private over(u: uPlot): void {
    const { ctx, bbox } = u;
    const k = devicePixelRatio;
    const right = bbox.left + bbox.width;
    ctx.save();
    ctx.font = this.colours.font.replace(/^[\d.]+/, (s) => String(Number(s) * k));
    ctx.textBaseline = "middle";
    ctx.textAlign = "left";
    ctx.fillStyle = this.colours.faint;
    ctx.fillText(this.what.title, bbox.left, bbox.top - (Number.parseFloat(this.colours.font) / 2 + 2) * k);
    const taken: number[] = [];
    for (const l of this.what.levels) {
      const y = u.valToPos(l.value, "y", true);
      ctx.strokeStyle = l.wrong ? this.colours.accent : this.colours.faint;
      ctx.lineWidth = k;
      ctx.setLineDash([6 * k, 4 * k]);
      ctx.beginPath();
      ctx.moveTo(bbox.left, y);
      ctx.lineTo(right, y);
      ctx.stroke();
      ctx.fillStyle = l.wrong ? this.colours.accent : this.colours.faint;
      ctx.fillText(l.words, right + 4 * k, y);
      taken.push(y);
    }
    if (this.what.named) this.names(u, right, taken);
    ctx.setLineDash([]);
    if (this.at !== null) {
      const x = u.valToPos(this.at, "x", true);
      ctx.strokeStyle = this.colours.accent;
      ctx.lineWidth = 1.5 * k;
      ctx.beginPath();
      ctx.moveTo(x, bbox.top);
      ctx.lineTo(x, bbox.top + bbox.height);
      ctx.stroke();
    }
    ctx.restore();
  }

  private names(u: uPlot, right: number, taken: number[]): void {
    const k = devicePixelRatio;
    this.what.lines.forEach((l) => {
      const last = l.values.findLast((v) => v !== null) ?? 0;
      let y = u.valToPos(last, "y", true);
      while (taken.some((t) => Math.abs(t - y) < 11 * k)) y -= 11 * k;
      taken.push(y);
      u.ctx.setLineDash((dashes[l.style % dashes.length] ?? []).map((d) => d * k));
      u.ctx.strokeStyle = l.style % 2 === 0 ? this.colours.ink : this.colours.select;
      u.ctx.lineWidth = 1.5 * k;
      u.ctx.beginPath();
      u.ctx.moveTo(right + 4 * k, y);
      u.ctx.lineTo(right + 24 * k, y);
      u.ctx.stroke();
      u.ctx.fillStyle = this.colours.ink;
      u.ctx.fillText(l.name, right + 28 * k, y);
    });
  }

  dispose(): void {
    this.chart.destroy();
  }
}

// Pointer and keys on the picture: turning, moving, magnifying, pointing at parts.

import { hovered, select } from "../../state/selection";
import { orbit, pan, zoom } from "./camera";
import { fitAll, perspective, view as standard } from "./looker";
import { toggles } from "./stage";
import type { View } from "./view";

/** A pointer that moved less than this between down and up pointed at something, px. */
const stillAt = 4;
const turnPerPixel = 0.006;

export class Handling {
  private held = new Map<number, { x: number; y: number }>();
  private way = 0;
  private asked = 0;
  private at = { x: 0, y: 0 };
  private off = new AbortController();

  constructor(
    private view: View,
    private canvas: HTMLCanvasElement,
  ) {
    const on = <K extends keyof HTMLElementEventMap>(name: K, does: (e: HTMLElementEventMap[K]) => void) =>
      canvas.addEventListener(name, does, { signal: this.off.signal, passive: false });
    on("pointerdown", (e) => this.down(e));
    on("pointermove", (e) => this.move(e));
    on("pointerup", (e) => this.up(e));
    on("pointercancel", (e) => this.held.delete(e.pointerId));
    on("pointerleave", () => {
      if (this.held.size === 0) hovered.value = [];
    });
    on("wheel", (e) => this.wheel(e));
    on("contextmenu", (e) => e.preventDefault());
    on("keydown", (e) => this.key(e));
    on("dblclick", () => fitAll());
  }

  private place(e: MouseEvent): { x: number; y: number } {
    const box = this.canvas.getBoundingClientRect();
    return { x: e.clientX - box.left, y: e.clientY - box.top };
  }

  private down(e: PointerEvent): void {
    this.canvas.setPointerCapture(e.pointerId);
    this.held.set(e.pointerId, this.place(e));
    this.way = 0;
  }

  private move(e: PointerEvent): void {
    const now = this.place(e);
    const before = this.held.get(e.pointerId);
    if (!before) {
      this.at = now;
      if (!this.asked && this.held.size === 0) this.asked = requestAnimationFrame(this.point);
      return;
    }
    const [dx, dy] = [now.x - before.x, now.y - before.y];
    this.way += Math.abs(dx) + Math.abs(dy);
    const { camera, size } = this.view;
    if (this.held.size === 2) this.pinch(e.pointerId, before, now);
    else if (e.shiftKey || e.buttons & 6) this.view.look(pan(camera, size, dx, dy));
    else if (this.way > stillAt) this.view.look(orbit(camera, -dx * turnPerPixel, dy * turnPerPixel));
    this.held.set(e.pointerId, now);
  }

  private pinch(id: number, before: { x: number; y: number }, now: { x: number; y: number }): void {
    const other = [...this.held].find(([k]) => k !== id)?.[1];
    if (!other) return;
    const apart = (p: { x: number; y: number }) => Math.hypot(p.x - other.x, p.y - other.y);
    const { size } = this.view;
    const moved = pan(this.view.camera, size, (now.x - before.x) / 2, (now.y - before.y) / 2);
    const factor = apart(before) > 1 ? apart(now) / apart(before) : 1;
    this.view.look(zoom(moved, size, factor, (now.x + other.x) / 2, (now.y + other.y) / 2));
  }

  private up(e: PointerEvent): void {
    if (!this.held.delete(e.pointerId) || this.way > stillAt || e.button !== 0) return;
    const { x, y } = this.place(e);
    const hit = this.view.pick(x, y);
    if (!hit) {
      select(null);
      return;
    }
    const id = hit.solid.of || hit.solid.id;
    select({ kind: "part", id, parts: [id], path: hit.solid.path, from: "machine" });
  }

  /** point shows what lies under a pointer that only passes. */
  private point = (): void => {
    this.asked = 0;
    const hit = this.view.pick(this.at.x, this.at.y);
    const id = hit ? hit.solid.of || hit.solid.id : "";
    if ((hovered.value[0] ?? "") !== id) hovered.value = id ? [id] : [];
    this.canvas.style.cursor = id ? "pointer" : "grab";
  };

  private wheel(e: WheelEvent): void {
    e.preventDefault();
    const { x, y } = this.place(e);
    const lines = e.deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1;
    this.view.look(zoom(this.view.camera, this.view.size, Math.exp(-e.deltaY * lines * 0.0015), x, y));
  }

  private key(e: KeyboardEvent): void {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    const { camera, size } = this.view;
    const step = e.shiftKey ? 40 : 0.09;
    const arrows: Record<string, [number, number]> = {
      ArrowLeft: [1, 0],
      ArrowRight: [-1, 0],
      ArrowUp: [0, 1],
      ArrowDown: [0, -1],
    };
    const by = arrows[e.key];
    if (by) {
      this.view.look(
        e.shiftKey ? pan(camera, size, by[0] * step, by[1] * step) : orbit(camera, by[0] * step, by[1] * step),
      );
    } else if (e.key === "+" || e.key === "=") this.view.look(zoom(camera, size, 1.15));
    else if (e.key === "-") this.view.look(zoom(camera, size, 1 / 1.15));
    else if (e.key === "Home" || e.key === "f") fitAll();
    else if (e.key === "x") standard("front");
    else if (e.key === "y") standard("side");
    else if (e.key === "z") standard("top");
    else if (e.key === "c") standard("corner");
    else if (e.key === "p") perspective(!camera.perspective);
    else if (e.key === "l") toggles.value = { ...toggles.value, list: !toggles.value.list };
    else if (e.key === "Escape") select(null);
    else return;
    e.preventDefault();
  }

  dispose(): void {
    cancelAnimationFrame(this.asked);
    this.off.abort();
  }
}

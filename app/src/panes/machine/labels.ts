// Words in the picture: elements of the page, so that they are crisp, follow the
// colour scheme and can be read by a screen reader.

import type { Vec3 } from "../../api/types";
import type { Spot } from "./camera";

export interface Label {
  key: string;
  text: string;
  at: Vec3;
  /** how it is drawn: a name beside a place, or a size upon its line */
  kind: "name" | "size";
  /** the line of a size: where it is seen too short for its words they are left out */
  along?: [Vec3, Vec3];
}

interface Placed {
  label: Label;
  element: HTMLElement;
  width: number;
  height: number;
}

interface Room {
  left: number;
  top: number;
  right: number;
  bottom: number;
}

/** Labels keeps one element a label and puts each where it does not cover another. */
export class Labels {
  private placed: Placed[] = [];
  constructor(private host: HTMLElement) {}

  show(labels: readonly Label[]): void {
    this.host.replaceChildren();
    this.placed = labels.map((label) => {
      const element = document.createElement("span");
      element.className = `label label-${label.kind}`;
      element.textContent = label.text;
      this.host.append(element);
      return { label, element, width: 0, height: 0 };
    });
    for (const p of this.placed) {
      p.width = p.element.offsetWidth;
      p.height = p.element.offsetHeight;
    }
  }

  /** place moves all labels; one for which there is no room is left out. */
  place(project: (p: Vec3) => Spot, width: number, height: number): void {
    const taken: Room[] = [];
    for (const p of this.placed) {
      const spot = project(p.label.at);
      const outside = spot.behind || spot.x < 0 || spot.y < 0 || spot.x > width || spot.y > height;
      const room = outside || short(p, project) ? null : freeRoom(p, spot, taken);
      p.element.hidden = room === null;
      if (!room) continue;
      taken.push(room);
      p.element.style.transform = `translate(${Math.round(room.left)}px, ${Math.round(room.top)}px)`;
    }
  }
}

function short(p: Placed, project: (at: Vec3) => Spot): boolean {
  if (!p.label.along) return false;
  const [a, b] = p.label.along.map(project) as [Spot, Spot];
  return Math.hypot(b.x - a.x, b.y - a.y) < 0.8 * Math.max(p.height, Math.min(p.width, 2 * p.height));
}

function freeRoom(p: Placed, spot: Spot, taken: Room[]): Room | null {
  const gap = 7;
  const [w, h] = [p.width, p.height];
  const beside: [number, number][] =
    p.label.kind === "size"
      ? [[-w / 2, -h / 2]]
      : [
          [gap, -h / 2],
          [-w - gap, -h / 2],
          [-w / 2, -h - gap],
          [-w / 2, gap],
        ];
  for (const [dx, dy] of beside) {
    const left = spot.x + dx;
    const top = spot.y + dy;
    const room = { left, top, right: left + w, bottom: top + h };
    if (taken.every((t) => room.right < t.left || room.left > t.right || room.bottom < t.top || room.top > t.bottom))
      return room;
  }
  return null;
}

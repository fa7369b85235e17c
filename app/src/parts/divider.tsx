import { useRef } from "preact/hooks";

interface Props {
  name: string;
  /** the line's own direction: vertical lines move left and right */
  line: "vertical" | "horizontal";
  value: number;
  least: number;
  most: number;
  /** value as a part of the window for a pointer at this place */
  at: (x: number, y: number) => number;
  to: (value: number) => void;
  /** growing the value moves the line towards the window's end (+1) or start (-1) */
  sense: 1 | -1;
  onToggle: () => void;
}

/** Divider is the line between two panes: drag it, or use arrow keys; Enter hides the pane. */
export function Divider({ name, line, value, least, most, at, to, sense, onToggle }: Props) {
  const held = useRef(false);
  const set = (v: number) => to(Math.max(least, Math.min(most, v)));
  const keys = (e: KeyboardEvent) => {
    const step = e.shiftKey ? 0.05 : 0.01;
    const by: Record<string, number> =
      line === "vertical" ? { ArrowRight: sense, ArrowLeft: -sense } : { ArrowDown: sense, ArrowUp: -sense };
    if (by[e.key] !== undefined) set(value + by[e.key]! * step);
    else if (e.key === "Home") set(least);
    else if (e.key === "End") set(most);
    else if (e.key === "Enter") onToggle();
    else return;
    e.preventDefault();
  };
  return (
    <div
      class={`divider divider-${line}`}
      role="separator"
      aria-label={name}
      aria-orientation={line}
      aria-valuenow={Math.round(value * 100)}
      aria-valuemin={Math.round(least * 100)}
      aria-valuemax={Math.round(most * 100)}
      tabIndex={0}
      title={`${name}: drag, or arrow keys; Enter hides`}
      onKeyDown={keys}
      onDblClick={onToggle}
      onPointerDown={(e) => {
        held.current = true;
        e.currentTarget.setPointerCapture(e.pointerId);
      }}
      onPointerMove={(e) => {
        if (held.current) set(at(e.clientX, e.clientY));
      }}
      onPointerUp={() => {
        held.current = false;
      }}
    />
  );
}

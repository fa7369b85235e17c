import { effect, type ReadonlySignal } from "@preact/signals";
import { useEffect, useRef } from "preact/hooks";
import { scheme } from "../../../state/settings";
import { look, Plot, type Plotted } from "./plot";

interface Props {
  plots: Plotted[];
  head: ReadonlySignal<number> | null;
  set: ((x: number) => void) | null;
  label: string;
}

/** roomFor is how high each of so many charts can be so that all are in sight, px; not endlessly high. */
function roomFor(at: HTMLElement, count: number): number {
  const body = at.closest('[role="tabpanel"]');
  if (!body || count === 0) return 0;
  const below = body.getBoundingClientRect().bottom - at.getBoundingClientRect().top;
  return Math.min(260, Math.floor((below - 8) / count));
}

/** Charts draws plots below each other, all with the same play head. */
export function Charts({ plots, head, set, label }: Props) {
  const host = useRef<HTMLDivElement>(null);
  const shown = scheme.value;
  useEffect(() => {
    const at = host.current;
    if (!at) return;
    const colours = look(at);
    const height = roomFor(at, plots.length);
    const list = plots.map(
      (p) => new Plot(at, { ...p, height: Math.max(p.height, height) }, at.clientWidth, colours, set),
    );
    const watch = new ResizeObserver(() => {
      if (at.clientWidth > 0) for (const p of list) p.resize(at.clientWidth);
    });
    watch.observe(at);
    const end = effect(() => {
      const x = head?.value;
      if (x !== undefined) for (const p of list) p.head(x);
    });
    return () => {
      end();
      watch.disconnect();
      for (const p of list) p.dispose();
    };
  }, [plots, shown, head, set]);
  return <div class="charts" ref={host} role="img" aria-label={label} />;
}

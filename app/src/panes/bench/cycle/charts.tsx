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

/** Charts draws plots below each other, all with the same play head. */
export function Charts({ plots, head, set, label }: Props) {
  const host = useRef<HTMLDivElement>(null);
  const shown = scheme.value;
  useEffect(() => {
    const at = host.current;
    if (!at) return;
    const colours = look(at);
    const list = plots.map((p) => new Plot(at, p, at.clientWidth, colours, set));
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

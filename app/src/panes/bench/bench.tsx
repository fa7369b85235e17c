import type { ComponentChildren } from "preact";
import { later } from "../../parts/lazy";
import { Tabs } from "../../parts/tabs";
import { behind } from "../../state/calm";
import { type Bench, bench } from "../../state/pose";
import { change, settings } from "../../state/settings";

const benches: Record<Bench, { title: string; pane: ReturnType<typeof later> }> = {
  pose: { title: "Pose", pane: later(() => import("./pose")) },
  workspace: { title: "Work space", pane: later(() => import("./workspace")) },
  modes: { title: "Modes", pane: later(() => import("./modes")) },
  cycle: { title: "Cycle", pane: later(() => import("./cycle")) },
  split: { title: "Split", pane: later(() => import("./split")) },
  variants: { title: "Variants", pane: later(() => import("./variants")) },
  remedies: { title: "Remedies", pane: later(() => import("./remedies")) },
};

/** BenchDrawer is the drawer below the machine: one bench at a time. */
export function BenchDrawer() {
  const at = bench.value;
  const Pane = benches[at].pane;
  const open = settings.value.benchOpen;
  return (
    <>
      <Tabs
        name="Bench"
        tabs={(Object.keys(benches) as Bench[]).map((id) => ({ id, title: benches[id].title }))}
        at={at}
        to={(id) => {
          bench.value = id;
          change({ benchOpen: true });
        }}
      />
      {open && (
        <Aged of={at}>
          <div class="bench-body" id="Bench-panel" role="tabpanel" aria-labelledby={`Bench-tab-${at}`}>
            <Pane />
          </div>
        </Aged>
      )}
    </>
  );
}

/** listing are the benches whose numbers do not follow the design by themselves. */
const listing: ReadonlySet<Bench> = new Set<Bench>(["variants", "remedies"]);

/** Aged marks a bench that still shows the numbers of an older text. */
function Aged({ of, children }: { of: Bench; children: ComponentChildren }) {
  const old = behind.value && !listing.has(of);
  return <div class={old ? "bench-frame veil stale" : "bench-frame veil"}>{children}</div>;
}

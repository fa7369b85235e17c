import { useEffect, useRef } from "preact/hooks";
import { BenchDrawer } from "./panes/bench/bench";
import { Description } from "./panes/description";
import { Dialogs } from "./panes/dialogs/dialogs";
import { Ledger } from "./panes/ledger/ledger";
import { NewDesign } from "./panes/start/new-design";
import { Failed, Starting } from "./panes/start/states";
import { Strip } from "./panes/strip/strip";
import { Divider } from "./parts/divider";
import { later } from "./parts/lazy";
import { Tabs } from "./parts/tabs";
import { column, listenToKeys, toPane } from "./state/keys";
import { change, narrow, settings } from "./state/settings";
import { phase } from "./state/start";

const Machine = later(() => import("./panes/machine"));

/** Page is the whole window: head strip, description, machine with its bench, ledger. */
export function Page() {
  useEffect(listenToKeys, []);
  if (phase.value === "starting") return <Starting />;
  if (phase.value === "failed") return <Failed />;
  return (
    <>
      {phase.value === "ready" && !narrow.value && <Skip />}
      {phase.value === "empty" ? <NewDesign inPage /> : <Workplace />}
      <Dialogs />
    </>
  );
}

// The address keeps naming the file, so the link moves the focus by itself.
function Skip() {
  return (
    // biome-ignore lint/a11y/useValidAnchor: it leads to a place on the page; only the address must stay
    <a
      class="aloud skip"
      href="#ledger"
      onClick={(e) => {
        e.preventDefault();
        toPane("ledger");
      }}
    >
      To the ledger
    </a>
  );
}

function Workplace() {
  return (
    <div class={narrow.value ? "page page-narrow" : "page"}>
      <Strip />
      {narrow.value ? <Narrow /> : <Columns />}
    </div>
  );
}

function Columns() {
  const frame = useRef<HTMLElement>(null);
  const s = settings.value;
  useEffect(() => {
    const style = frame.current?.style;
    style?.setProperty("--left", s.leftOpen ? `${(s.left * 100).toFixed(2)}vw` : "0px");
    style?.setProperty("--right", s.rightOpen ? `${(s.right * 100).toFixed(2)}vw` : "0px");
    style?.setProperty("--bench", s.benchOpen ? `${(s.bench * 100).toFixed(2)}%` : "auto");
  }, [s.left, s.right, s.bench, s.leftOpen, s.rightOpen, s.benchOpen]);
  return (
    <main class="columns" ref={frame}>
      {s.leftOpen && (
        <section class="column" aria-label="Description">
          <Description />
        </section>
      )}
      <Divider
        name="Width of the description"
        line="vertical"
        value={s.left}
        least={0.16}
        most={0.45}
        sense={1}
        at={(x) => x / innerWidth}
        to={(left) => change({ left, leftOpen: true })}
        onToggle={() => change({ leftOpen: !s.leftOpen })}
      />
      <div class="column middle">
        <section class="machine" aria-label="Machine">
          <Machine />
        </section>
        <Divider
          name="Height of the bench"
          line="horizontal"
          value={s.bench}
          least={0.15}
          most={0.75}
          sense={-1}
          at={(_, y) => partBelow(frame.current, y)}
          to={(bench) => change({ bench, benchOpen: true })}
          onToggle={() => change({ benchOpen: !s.benchOpen })}
        />
        <section class={s.benchOpen ? "bench" : "bench bench-closed"} aria-label="Bench">
          <BenchDrawer />
        </section>
      </div>
      <Divider
        name="Width of the ledger"
        line="vertical"
        value={s.right}
        least={0.2}
        most={0.5}
        sense={-1}
        at={(x) => 1 - x / innerWidth}
        to={(right) => change({ right, rightOpen: true })}
        onToggle={() => change({ rightOpen: !s.rightOpen })}
      />
      {s.rightOpen && (
        <section class="column" id="ledger" aria-label="Ledger">
          <Ledger />
        </section>
      )}
    </main>
  );
}

function partBelow(frame: HTMLElement | null, y: number): number {
  if (!frame) return 0.4;
  const box = frame.getBoundingClientRect();
  return (box.bottom - y) / box.height;
}

function Narrow() {
  return (
    <main class="narrow">
      <Tabs
        name="Panes"
        tabs={[
          { id: "description", title: "Description" },
          { id: "machine", title: "Machine" },
          { id: "bench", title: "Bench" },
          { id: "ledger", title: "Ledger" },
        ]}
        at={column.value}
        to={(id) => {
          column.value = id;
        }}
      />
      <div class="narrow-body" id="Panes-panel" role="tabpanel" aria-labelledby={`Panes-tab-${column.value}`}>
        {column.value === "description" && <Description />}
        {column.value === "machine" && <Machine />}
        {column.value === "bench" && <BenchDrawer />}
        {column.value === "ledger" && <Ledger />}
      </div>
    </main>
  );
}

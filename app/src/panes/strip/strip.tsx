import type { ComponentChildren } from "preact";
import { Button } from "../../parts/button";
import { Icon } from "../../parts/icon";
import { Mark } from "../../parts/verdict";
import { ahead, doc, file, redo, save, undo } from "../../state/doc";
import type { Figure } from "../../state/headline";
import { before, changeOf, figures } from "../../state/headline";
import { blocked, judged, late, progress, stale } from "../../state/judgement";
import { show } from "../../state/keys";
import { selectCheck } from "../../state/lit";
import { change, scheme, settings } from "../../state/settings";
import { files } from "../../state/start";
import "./strip.css";

/** Strip is the head of the page: which design, how it stands, and its main numbers. */
export function Strip() {
  return (
    <header class="strip">
      <Design />
      <Numbers />
      <Tools />
    </header>
  );
}

function Design() {
  const d = doc.value;
  const machine = files.value?.files.find((f) => f.file === file.value)?.machine;
  return (
    <div class="design">
      <h1 title={file.value}>{machine || file.value}</h1>
      <p class="design-file">
        <button type="button" class="link" title="open another design (O)" onClick={() => show("files")}>
          {file.value}
        </button>{" "}
        <span class={d?.saved && !ahead.value ? "" : "unsaved"}>{state()}</span>
      </p>
      <p class="design-tools">
        <Button
          quiet
          icon={<Icon name="back" />}
          disabled={!d || (d.undo === 0 && !ahead.value)}
          onClick={() => void undo()}
          title="Ctrl Z"
        >
          Undo
        </Button>
        <Button
          quiet
          icon={<Icon name="forth" />}
          disabled={!d || d.redo === 0}
          onClick={() => void redo()}
          title="Ctrl Y"
        >
          Redo
        </Button>
        <Button
          quiet
          icon={<Icon name="keep" />}
          disabled={!d || (d.saved && !ahead.value && d.disk === "same")}
          onClick={() => void save()}
          title="Ctrl S"
        >
          Save
        </Button>
      </p>
    </div>
  );
}

function state(): string {
  const d = doc.value;
  if (!d) return "";
  if (d.disk === "gone") return "the file is gone from disk";
  if (d.disk === "unreadable") return "the file on disk is not text";
  if (d.disk === "changed") return "changed on disk";
  return d.saved && !ahead.value ? "saved" : "not saved";
}

function Numbers() {
  const j = judged.value;
  if (!j) {
    return (
      <div class="numbers" aria-busy="true">
        <p class="notice">{blocked.value ? "No number yet: the description has mistakes." : "Judging…"}</p>
      </div>
    );
  }
  const { counts, verdict } = j.summary;
  const rest = (["over", "unknown", "tight", "ok"] as const).filter((v) => counts[v] > 0);
  return (
    <Aged>
      <li class={`number number-verdict number-${verdict}`}>
        <span class="number-title">
          Verdict <Waiting />
        </span>
        <span class="number-value">
          <Mark verdict={verdict} />
        </span>
        <span class="number-foot">
          {rest
            .filter((v) => v !== "ok")
            .map((v) => `${counts[v]} ${v}`)
            .join(", ")}
        </span>
        <span class="number-foot">{counts.ok} ok</span>
      </li>
      {figures(j).map((f) => (
        <Card key={f.key} figure={f} />
      ))}
    </Aged>
  );
}

/** Aged marks the numbers of an older text, without drawing them again. */
function Aged({ children }: { children: ComponentChildren }) {
  return (
    <ul class={stale.value ? "numbers veil stale" : "numbers veil"} aria-label="Main numbers">
      {children}
    </ul>
  );
}

function Waiting() {
  if (!late.value) return null;
  if (blocked.value) return <span class="waiting">· older text</span>;
  const p = progress.value;
  return <span class="waiting">· judging…{p && p.total > 0 ? ` ${p.done}/${p.total}` : ""}</span>;
}

function Card({ figure: f }: { figure: Figure }) {
  const delta = changeOf(f, before(f));
  const verdict = f.check?.verdict;
  const inside = (
    <>
      <span class="number-title">{f.title}</span>
      <span class="number-value">{f.text}</span>
      <span class="number-foot">
        {verdict && <Mark verdict={verdict} word={false} />}
        {f.target && <span class="number-target">{f.target}</span>}
      </span>
      <span class="number-foot">
        {delta && (
          <span class={`delta delta-${delta.sense}`} title="since the last save">
            {delta.text}
            <span class="aloud">, {delta.sense} than saved</span>
          </span>
        )}
      </span>
    </>
  );
  const check = f.check;
  return (
    <li class={`number${verdict === "over" ? " number-over" : ""}`}>
      {check ? (
        <button
          type="button"
          title={`${check.title}: show it in the ledger`}
          onClick={() => selectCheck(check, "strip")}
        >
          {inside}
        </button>
      ) : (
        <div>{inside}</div>
      )}
    </li>
  );
}

function Tools() {
  return (
    <div class="strip-tools">
      <Button quiet icon={<Icon name="plus" />} onClick={() => show("new")}>
        New
      </Button>
      <Button quiet icon={<Icon name="sheet" />} onClick={() => show("pack")}>
        Hand-over
      </Button>
      <Button quiet icon={<Icon name="print" />} onClick={() => print()}>
        Print
      </Button>
      <Button
        quiet
        icon={<Icon name="sun" />}
        title={settings.value.scheme === "auto" ? "as the system" : `always ${settings.value.scheme}`}
        onClick={() => change({ scheme: scheme.value === "dark" ? "light" : "dark" })}
      >
        {scheme.value === "dark" ? "Light" : "Dark"}
      </Button>
      <Button quiet icon={<Icon name="keys" />} title="?" onClick={() => show("keys")}>
        Keys
      </Button>
    </div>
  );
}

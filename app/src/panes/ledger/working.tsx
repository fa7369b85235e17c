import { useEffect, useState } from "preact/hooks";
import { get } from "../../api/client";
import type { Check, Spread, Working, WorkingInput } from "../../api/types";
import { Button } from "../../parts/button";
import { Maths } from "../../parts/maths";
import { file } from "../../state/doc";
import { judged } from "../../state/judgement";
import { column } from "../../state/keys";
import { q } from "../../state/pose";
import { select } from "../../state/selection";
import { change } from "../../state/settings";

/** showOnMachine lights up what a check speaks of. */
export function showOnMachine(c: Check): void {
  column.value = "machine";
  select({ kind: "check", id: c.id, parts: c.part ?? [], ...(c.path && { path: c.path }), from: "ledger" });
}

/** goToWorst moves the machine to where a check is worst. */
function goToWorst(c: Check): void {
  q.value = c.pose ?? q.value;
  showOnMachine(c);
}

/** showInDescription goes to the place of the design that a check speaks of. */
export function showInDescription(c: Check): void {
  if (!c.path) return;
  column.value = "description";
  change({ leftOpen: true });
  select({ kind: "path", id: c.path, path: c.path, parts: c.part ?? [], from: "ledger" });
}

/** WorkingOf is the working of one check: formula, numbers, where they come from. */
export function WorkingOf({ check }: { check: Check }) {
  const [working, setWorking] = useState<Working | null>(null);
  const [failed, setFailed] = useState("");
  const version = judged.value?.version;
  const name = file.value;
  useEffect(() => {
    const turn = new AbortController();
    get<Working>("working", { file: name, id: check.id }, turn.signal).then(
      (w) => {
        setWorking(w);
        setFailed("");
      },
      (e: unknown) => !turn.signal.aborted && setFailed(e instanceof Error ? e.message : String(e)),
    );
    return () => turn.abort();
  }, [name, check.id, version]);
  return (
    <div class="working">
      <div class="working-tools">
        <Button quiet disabled={(check.part ?? []).length === 0} onClick={() => showOnMachine(check)}>
          Show on the machine
        </Button>
        <Button quiet disabled={!check.path} onClick={() => showInDescription(check)}>
          Show in the description
        </Button>
        {check.pose && (
          <Button quiet onClick={() => goToWorst(check)}>
            Go to the worst place
          </Button>
        )}
      </div>
      {check.caution && <p class="caution">Caution: {check.caution}</p>}
      {check.note && <p class="working-note">{check.note}</p>}
      {failed && <p class="notice-wrong">The working could not be read: {failed}</p>}
      {working ? <Content working={working} /> : !failed && <p class="working-note">Reading the working…</p>}
    </div>
  );
}

function Content({ working: w }: { working: Working }) {
  return (
    <>
      {w.missing && <p class="working-note">Missing: {w.missing}</p>}
      {w.math ? (
        <Maths markup={w.math} />
      ) : (
        <>
          {w.formula && <p class="formula">{w.formula}</p>}
          {w.substituted && <p class="formula">{w.substituted}</p>}
        </>
      )}
      {w.range && <Over range={w.range} />}
      {w.inputs && w.inputs.length > 0 && <Inputs inputs={w.inputs} />}
      {w.contributions && w.contributions.length > 0 && <Contributions list={w.contributions} />}
      {w.source && <p class="source">Source: {w.source}</p>}
    </>
  );
}

function Over({ range: r }: { range: Spread }) {
  return (
    <p class="working-note">
      Over the range of {r.of}: {r.shown[0]} low, {r.shown[1]} nominal, {r.shown[2]} high; judged at {r.judged}.
    </p>
  );
}

function Inputs({ inputs }: { inputs: WorkingInput[] }) {
  return (
    <table class="inputs">
      <thead>
        <tr>
          <th scope="col">symbol</th>
          <th scope="col">what</th>
          <th scope="col" class="right">
            value
          </th>
          <th scope="col">from</th>
        </tr>
      </thead>
      <tbody>
        {inputs.map((i) => (
          <tr key={i.symbol + i.name}>
            <td class="symbol">{i.math ? <Maths markup={i.math} inline /> : i.symbol}</td>
            <td>{i.name}</td>
            <td class="right">{i.shown}</td>
            <td class="from">{i.from}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Contributions({ list }: { list: NonNullable<Working["contributions"]> }) {
  return (
    <table class="inputs">
      <thead>
        <tr>
          <th scope="col">made up of</th>
          <th scope="col" class="right">
            share
          </th>
        </tr>
      </thead>
      <tbody>
        {list.map((c) => (
          <tr key={c.name}>
            <td>{c.name}</td>
            <td class="right">{c.shown}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

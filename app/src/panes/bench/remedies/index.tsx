import { useState } from "preact/hooks";
import { post } from "../../../api/client";
import type { Comparison, Remedies as Found, Job, Remedy, RemedyState, Trial } from "../../../api/types";
import { Button } from "../../../parts/button";
import { JobBar } from "../../../parts/job";
import { Meter } from "../../../parts/meter";
import { Mark } from "../../../parts/verdict";
import { edit, file, flush, say } from "../../../state/doc";
import { ageOf, latest, startJob } from "../../../state/jobs";
import { checks, stale } from "../../../state/judgement";
import { selectCheck } from "../../../state/lit";
import { isRule, percent } from "../../ledger/filter";
import { Compared } from "../variants/compared";
import "../variants/variants.css";
import { besides } from "./besides";
import "./remedies.css";

/** Remedies asks the program for changes that help, each with its computed gain. */
export default function Remedies() {
  const job = latest("improve");
  const start = async () => {
    try {
      await flush();
      await startJob("improve");
    } catch (e) {
      say(e instanceof Error ? e.message : String(e), "wrong");
    }
  };
  const running = job?.state === "running";
  return (
    <div class="remedies">
      <div class="remedies-head">
        <Button main={!job} disabled={running || stale.value} onClick={() => void start()}>
          {job ? "Look again" : "Look for remedies"}
        </Button>
        {!job && (
          <p class="quiet">
            Every remedy is judged as a whole machine before it is shown: what it mends, and what it costs elsewhere.
          </p>
        )}
        {job && <JobBar job={job} />}
      </div>
      {job?.state === "done" && job.result?.remedies && <List found={job.result.remedies} job={job} />}
    </div>
  );
}

function List({ found, job }: { found: Found; job: Job }) {
  const list = bestFirst(found);
  const age = ageOf(job);
  const none = (found.problems ?? []).filter((p) => (p.remedies ?? []).length === 0);
  return (
    <>
      <p class="quiet">
        {list.length === 0 ? "No remedy was found" : list.length === 1 ? "1 remedy" : `${list.length} remedies`}, from{" "}
        {found.machines_judged} machines that were judged at {new Date(job.started).toLocaleTimeString()}.
      </p>
      {age !== "current" && (
        <p class="notice notice-wrong" role="status">
          {age === "older"
            ? "The description changed since then: this list was made for an older text, and its numbers no longer hold. Look again."
            : "It is not known for which text this list was made: look again before one is taken."}
        </p>
      )}
      {list.length > 0 && (
        <p class="quiet">
          Read what a remedy does to other checks before it is taken. Brakes, guards, anchors and what else keeps people
          safe are decided by the risk assessment (ISO 12100), local codes and competent review.
        </p>
      )}
      <ol class={age === "current" ? "remedy-list" : "remedy-list remedy-older"}>
        {list.map((r) => (
          <Entry
            key={r.number}
            remedy={r}
            held={age !== "current"}
            best={r.number === found.best}
            titleOf={(id) =>
              checks.value.find((c) => c.id === id)?.title ?? found.problems?.find((p) => p.check === id)?.title ?? id
            }
          />
        ))}
      </ol>
      {none.length > 0 && (
        <details class="remedies-none">
          <summary>{none.length === 1 ? "1 check" : `${none.length} checks`} without a remedy</summary>
          <ul>
            {none.map((p) => (
              <li key={p.check}>
                <Mark verdict={p.state.verdict} /> {p.title} <span class="quiet">{p.why_none}</span>
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

/** bestFirst are the remedies by number, but that which leaves least over before all. */
function bestFirst(found: Found): Remedy[] {
  const list = found.remedies ?? [];
  const best = list.filter((r) => r.number === found.best);
  return [...best, ...list.filter((r) => r.number !== found.best)];
}

interface EntryProps {
  remedy: Remedy;
  /** made for another text: it can be read, and not taken */
  held: boolean;
  /** of all, it leaves least over */
  best: boolean;
  titleOf: (id: string) => string;
}

function Entry({ remedy: r, held, best, titleOf }: EntryProps) {
  const [trial, setTrial] = useState<Comparison | null>(null);
  const [busy, setBusy] = useState(false);
  const tryIt = async () => {
    setBusy(true);
    try {
      const t = await post<Trial>("try", { file: file.value, edits: r.edits });
      if (t.ok && t.compare) setTrial(t.compare);
      else say(t.diagnostics?.[0]?.message ?? "This remedy does not fit the description any more.", "wrong");
    } catch (e) {
      say(e instanceof Error ? e.message : String(e), "wrong");
    }
    setBusy(false);
  };
  const take = async () => {
    if (await edit(r.edits)) say(`Taken: ${r.title}. It can be undone.`);
  };
  const check = checks.value.find((c) => c.id === r.problem);
  return (
    <li class="remedy">
      <div class="remedy-words">
        <h3>
          <span class="remedy-number">{r.number}</span> {r.title}
        </h3>
        {best && (
          <p>
            <span class="remedy-best">leaves least over</span> then {r.counts.over} over, {r.counts.tight} tight
          </p>
        )}
        <p class="quiet">
          {check ? (
            <>
              for{" "}
              <button type="button" class="link" onClick={() => selectCheck(check, "bench")}>
                {check.title}
              </button>
              ;{" "}
            </>
          ) : (
            r.problem && `for “${titleOf(r.problem)}”; `
          )}
          {r.why}
        </p>
        <p class="quiet">{besides(r, titleOf)}</p>
      </div>
      <div class="remedy-gain">
        {r.before && <State label="now" state={r.before} />}
        {r.after && <State label="then" state={r.after} />}
        {!r.after && !best && (
          <p class="quiet">
            then {r.counts.over} over, {r.counts.tight} tight
          </p>
        )}
      </div>
      <dl class="remedy-price">
        <dt>mass</dt>
        <dd>{signed(r.mass_change_kg, 1, "kg")}</dd>
        <dt>cost</dt>
        <dd>{r.cost_change === null ? "unknown" : signed(r.cost_change, 0, "")}</dd>
      </dl>
      <div class="remedy-tools">
        <Button disabled={busy || held} onClick={() => void (trial ? setTrial(null) : tryIt())}>
          {busy ? "Trying…" : trial && !held ? "Hide the trial" : "Try"}
        </Button>
        <Button onClick={() => void take()} disabled={held}>
          Take it
        </Button>
      </div>
      {trial && !held && (
        <div class="remedy-trial">
          <Compared comparison={trial} />
        </div>
      )}
    </li>
  );
}

function State({ label, state }: { label: string; state: RemedyState }) {
  return (
    <div class="remedy-state">
      <span class="quiet">{label}</span>
      <Mark verdict={state.verdict} />
      {isRule(state) ? <span /> : <Meter used={state.utilisation} verdict={state.verdict} />}
      <span>{isRule(state) ? (state.value === 1 ? "yes" : "no") : percent(state.utilisation)}</span>
    </div>
  );
}

/** signed shows a change with its sign; nothing changed reads "±0". */
export function signed(value: number, decimals: number, unit: string): string {
  const text = Math.abs(value).toFixed(decimals);
  const sign = Number(text) === 0 ? "±" : value < 0 ? "−" : "+";
  return `${sign}${Number(text) === 0 ? "0" : text}${unit && ` ${unit}`}`;
}

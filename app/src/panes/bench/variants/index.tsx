import { signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import { get, post, remove } from "../../../api/client";
import type { Comparison, Variant } from "../../../api/types";
import { Button } from "../../../parts/button";
import { Mark } from "../../../parts/verdict";
import { change, doc, file, flush, say } from "../../../state/doc";
import { judged, stale } from "../../../state/judgement";
import { overlay } from "../../../state/pose";
import { Compared } from "./compared";
import { headlineTexts, headlineTitles } from "./headline";
import "./variants.css";

const variants = signal<Variant[]>([]);
const pair = signal<{ a: string; b: string }>({ a: "saved", b: "now" });

async function read(name: string): Promise<void> {
  const list = await get<{ variants: Variant[] | null }>("variants", { file: name });
  if (name === file.peek()) variants.value = list.variants ?? [];
}

function wrong(e: unknown): void {
  say(e instanceof Error ? e.message : String(e), "wrong");
}

/** Variants keeps states of the design and compares two of them side by side. */
export default function Variants() {
  const name = file.value;
  const differ = variants.value.length > 0 || doc.value?.saved === false;
  // Until the user says otherwise it is open while there is something to compare.
  const [chosen, setChosen] = useState<boolean | null>(null);
  const comparing = chosen ?? differ;
  useEffect(() => {
    variants.value = [];
    if (name) void read(name).catch(wrong);
  }, [name]);
  return (
    <div class="variants">
      <Keep />
      <Table />
      <div class="variants-pair">
        <Pick label="Compare" value={pair.value.a} to={(a) => setPair({ a })} />
        <Pick label="with" value={pair.value.b} to={(b) => setPair({ b })} />
        <Button quiet onClick={() => setChosen(!comparing)} aria-expanded={comparing}>
          {comparing ? "Hide the comparison" : "Show the comparison"}
        </Button>
      </div>
      {comparing && <Comparing />}
    </div>
  );
}

function setPair(part: Partial<{ a: string; b: string }>): void {
  pair.value = { ...pair.value, ...part };
}

function Keep() {
  const [name, setName] = useState("");
  const keep = async () => {
    try {
      await flush();
      await post<Variant>("variants", { file: file.value, name: name.trim() || `state ${variants.value.length + 1}` });
      setName("");
      await read(file.value);
    } catch (e) {
      wrong(e);
    }
  };
  return (
    <form
      class="variants-keep"
      onSubmit={(e) => {
        e.preventDefault();
        void keep();
      }}
    >
      <input
        type="text"
        aria-label="Name of the variant"
        placeholder="what is special about it"
        value={name}
        onInput={(e) => setName(e.currentTarget.value)}
      />
      <Button type="submit" main disabled={stale.value}>
        Keep this state
      </Button>
    </form>
  );
}

function Table() {
  if (variants.value.length === 0) {
    return <p class="notice">No variant is kept yet. Keep a state, go on changing, and compare.</p>;
  }
  return (
    <div class="scroll scroll-cue">
      <table class="plain variants-list">
        <thead>
          <tr>
            <th scope="col">variant</th>
            <th scope="col">verdict</th>
            {headlineTitles.map((t) => (
              <th key={t} scope="col" class="right">
                {t}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {variants.value.map((v) => (
            <VariantRow key={v.id} variant={v} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

function VariantRow({ variant: v }: { variant: Variant }) {
  const drop = async () => {
    try {
      await remove("variants", { file: file.value, id: v.id });
      if (overlay.value === v.id) overlay.value = "";
      if (pair.value.a === v.id) setPair({ a: "saved" });
      if (pair.value.b === v.id) setPair({ b: "now" });
      await read(file.value);
    } catch (e) {
      wrong(e);
    }
  };
  return (
    <tr>
      <th scope="row">
        <b title={new Date(v.made).toLocaleString()}>{v.name}</b>
        <span class="variants-tools">
          <Tool
            words={overlay.value === v.id ? "hide outline" : "draw over"}
            act={() => {
              overlay.value = overlay.value === v.id ? "" : v.id;
            }}
          />
          <Tool words="compare" act={() => setPair({ a: v.id, b: "now" })} />
          <Tool words="go back to it" act={() => void change("variants/restore", { id: v.id })} />
          <Tool words="drop" act={() => void drop()} />
        </span>
      </th>
      {v.headline ? (
        <>
          <td>
            <Mark verdict={v.headline.verdict} />
          </td>
          {headlineTexts(v.headline).map((h) => (
            <td key={h.title} class="right">
              {h.text}
            </td>
          ))}
        </>
      ) : (
        <td colSpan={1 + headlineTitles.length} class="quiet">
          could not be judged
        </td>
      )}
    </tr>
  );
}

function Tool({ words, act }: { words: string; act: () => void }) {
  return (
    <button type="button" class="link" onClick={act}>
      {words}
    </button>
  );
}

function Pick({ label, value, to }: { label: string; value: string; to: (id: string) => void }) {
  return (
    <label>
      {label}{" "}
      <select value={value} onChange={(e) => to(e.currentTarget.value)}>
        <option value="now">what is shown now</option>
        <option value="saved">what is saved</option>
        {variants.value.map((v) => (
          <option key={v.id} value={v.id}>
            {v.name}
          </option>
        ))}
      </select>
    </label>
  );
}

function Comparing() {
  const [comparison, setComparison] = useState<Comparison | null>(null);
  const [failed, setFailed] = useState("");
  const { a, b } = pair.value;
  const version = judged.value?.version;
  const saved = doc.value?.saved;
  const name = file.value;
  useEffect(() => {
    if (a === b || version === undefined) return;
    const turn = new AbortController();
    get<Comparison>("compare", { file: name, a, b }, turn.signal).then(
      (c) => {
        setComparison(c);
        setFailed("");
      },
      (e: unknown) => !turn.signal.aborted && setFailed(e instanceof Error ? e.message : String(e)),
    );
    return () => turn.abort();
  }, [name, a, b, version, saved]);
  if (a === b) return <p class="notice">Choose two different states.</p>;
  if (failed) return <p class="notice notice-wrong">They could not be compared: {failed}</p>;
  if (!comparison) return <p class="notice">Comparing…</p>;
  return <Compared comparison={comparison} />;
}

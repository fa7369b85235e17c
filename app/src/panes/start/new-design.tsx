import { useEffect, useState } from "preact/hooks";
import { get, post } from "../../api/client";
import type { Doc, Starter } from "../../api/types";
import { type Schema, title } from "../../design/schema";
import { Button } from "../../parts/button";
import { Dialog } from "../../parts/dialog";
import { show } from "../../state/keys";
import { schema } from "../../state/schema";
import { show as openFile, readFiles } from "../../state/start";
import "./start.css";
import { allowed, deep, flat, slug, type Task, withEnding } from "./task";

/** NewDesign asks for the task and begins a design that fits its kind. */
export function NewDesign({ inPage }: { inPage?: boolean }) {
  const [starters, setStarters] = useState<Starter[]>([]);
  const [kind, setKind] = useState("");
  const [name, setName] = useState("");
  const [path, setPath] = useState("");
  const [task, setTask] = useState<Task>({});
  const [wrong, setWrong] = useState("");
  const [busy, setBusy] = useState(false);
  const choose = (s: Starter) => {
    setKind(s.kind);
    setTask(flat(s.task));
  };
  useEffect(() => {
    get<{ starters: Starter[] }>("starters").then(
      (a) => {
        setStarters(a.starters);
        if (a.starters[0]) choose(a.starters[0]);
      },
      (e: unknown) => setWrong(e instanceof Error ? e.message : String(e)),
    );
  }, []);
  const starter = starters.find((s) => s.kind === kind);
  const filePath = withEnding(path.trim() || slug(name) || "machine");
  const bad = Object.entries(task).filter(([key, value]) => !may(key).fits(value));
  const create = async () => {
    if (bad.length > 0) {
      setWrong(bad.map(([key, value]) => `${label(key)}: “${value}” is not ${may(key).words}`).join(". "));
      return;
    }
    setBusy(true);
    setWrong("");
    try {
      const doc = await post<Doc>("new", {
        file: filePath,
        kind,
        name: name.trim() || "new machine",
        ...(starter && { task: deep(starter.task, task) }),
      });
      await readFiles();
      show("");
      await openFile(doc.file);
    } catch (e) {
      setWrong(e instanceof Error ? e.message : String(e));
    }
    setBusy(false);
  };
  const form = (
    <form
      class="new"
      id="new-design"
      onSubmit={(e) => {
        e.preventDefault();
        void create();
      }}
    >
      <fieldset class="kinds">
        <legend>What it looks like</legend>
        {starters.map((s) => (
          <label key={s.kind} class="kind">
            <input type="radio" name="kind" checked={s.kind === kind} onChange={() => choose(s)} />
            <span>
              <b>{s.title || s.kind}</b>
              <small>{s.about}</small>
            </span>
          </label>
        ))}
      </fieldset>
      <fieldset>
        <legend>What it has to do</legend>
        <div class="task">
          {Object.entries(task).map(([key, value]) => {
            const fits = may(key).fits(value);
            return (
              <label key={key}>
                <span>{label(key)}</span>
                <input
                  type="text"
                  spellcheck={false}
                  value={value}
                  aria-invalid={!fits}
                  onInput={(e) => setTask({ ...task, [key]: e.currentTarget.value })}
                />
                <small class={fits ? "task-may" : "task-may notice-wrong"}>{may(key).words}</small>
              </label>
            );
          })}
        </div>
      </fieldset>
      <fieldset>
        <legend>How it is called</legend>
        <div class="task">
          <label>
            <span>machine</span>
            <input type="text" value={name} placeholder="new machine" onInput={(e) => setName(e.currentTarget.value)} />
          </label>
          <label>
            <span>file</span>
            <input
              type="text"
              spellcheck={false}
              value={path}
              placeholder={filePath}
              onInput={(e) => setPath(e.currentTarget.value)}
            />
            {path.trim() !== "" && filePath !== path.trim() && <small class="task-may">it is kept in {filePath}</small>}
          </label>
        </div>
      </fieldset>
      {wrong && (
        <p class="notice-wrong" role="alert">
          {wrong}
        </p>
      )}
      <p class="quiet">
        It begins with representative parts; everything can be changed afterwards. Nothing on disk is overwritten.
      </p>
    </form>
  );
  const begin = (
    <Button main type="submit" form="new-design" disabled={busy || !kind}>
      {busy ? "Beginning…" : "Begin this design"}
    </Button>
  );
  if (inPage) {
    return (
      <main class="new-page">
        <h1>A new machine</h1>
        <p>
          There is no design in this folder yet. Say what has to be moved; a first machine follows, to be judged and
          changed.
        </p>
        {form}
        {begin}
      </main>
    );
  }
  return (
    <Dialog
      wide
      title="A new machine"
      onClose={() => show("")}
      foot={
        <>
          <Button onClick={() => show("")}>Close</Button>
          {begin}
        </>
      }
    >
      {form}
    </Dialog>
  );
}

const nothingKnown: Schema = {};
const may = (key: string) => allowed(schema.value ?? nothingKnown, key);

const sides = ["length", "width", "height"];

function label(key: string): string {
  const [name, inner] = key.split(".");
  if (inner === undefined) return title(name!);
  return `${title(name!)}, ${/^\d+$/.test(inner) ? (sides[Number(inner)] ?? inner) : inner}`;
}

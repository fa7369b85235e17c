import { useState } from "preact/hooks";
import { isNode } from "yaml";
import { canRename, goodName, rename, taken } from "../../design/names";
import type { Field } from "../../design/outline";
import { type Places, parent } from "../../design/places";
import { steps } from "../../design/schema";
import { dedent } from "../../design/write";
import { Button } from "../../parts/button";
import { Draft } from "../../parts/draft";
import { places, readable } from "../../state/design";
import { edit, flush, say, type } from "../../state/doc";

/** inNames: the last step of the path is a name that the user gave. */
const inNames = (path: string) => canRename(path) || /^equipment\.(ends|carriers)\.[^.]+$/.test(path);

/** ItemTools stand in the head of an entry: its name, its place in the list, and taking it out. */
export function ItemTools({ field }: { field: Field }) {
  const listed = field.path.endsWith("]");
  if (!listed && !inNames(field.path)) return null;
  return (
    <span class="item-tools">
      {canRename(field.path) && <Rename field={field} />}
      {listed && <Move field={field} />}
      <Take field={field} />
    </span>
  );
}

/** RowTools do the same for entries that are a single row, e.g. a point. */
export function RowTools({ field }: { field: Field }) {
  const row = field.form === "row" && canRename(field.path);
  if (!row) return null;
  return (
    <span class="item-tools">
      <Rename field={field} />
      <Take field={field} />
    </span>
  );
}

function Take({ field }: { field: Field }) {
  return (
    <Button quiet title={`take ${field.title} out`} onClick={() => void edit([{ path: field.path, remove: true }])}>
      Take out
    </Button>
  );
}

function Rename({ field }: { field: Field }) {
  const [open, setOpen] = useState(false);
  if (!open) {
    return (
      <Button quiet title="change its name wherever it is used" onClick={() => setOpen(true)}>
        Rename
      </Button>
    );
  }
  const commit = async (name: string) => {
    setOpen(false);
    if (!goodName(name)) return say("A name has letters and digits, with - _ and . between them.", "wrong");
    await flush();
    const here = places.value;
    if (taken(here, parent(field.path), name)) return say(`“${name}” is there already.`, "wrong");
    type(rename(here, field.path, name));
  };
  return (
    <Draft
      class="rename"
      focused
      label={`New name of ${field.key}`}
      value={steps(field.path).at(-1) ?? ""}
      commit={commit}
      onLeave={() => setTimeout(() => setOpen(false), 150)}
    />
  );
}

function Move({ field }: { field: Field }) {
  const list = parent(field.path);
  const index = Number(/\[(\d+)\]$/.exec(field.path)?.[1] ?? 0);
  const count = readable.value.count(list);
  const swap = async (other: number) => {
    await flush();
    const here = places.value;
    const mine = source(here, `${list}[${index}]`);
    const theirs = source(here, `${list}[${other}]`);
    if (mine === null || theirs === null) return;
    await edit([
      { path: `${list}[${index}]`, value: theirs },
      { path: `${list}[${other}]`, value: mine },
    ]);
  };
  return (
    <>
      <Button quiet disabled={index <= 1} onClick={() => void swap(index - 1)}>
        Up
      </Button>
      <Button quiet disabled={index >= count} onClick={() => void swap(index + 1)}>
        Down
      </Button>
    </>
  );
}

// The text of an entry, as the lines of a block without its indentation.
function source(here: Places, path: string): string | null {
  const place = here.of(path);
  if (!place || !isNode(place.node)) return null;
  const { from, to } = place.value;
  const indent = from - (here.text.lastIndexOf("\n", from - 1) + 1);
  return dedent(here.text.slice(from, to), indent);
}

import { useState } from "preact/hooks";
import { goodName, offered, taken } from "../../design/names";
import type { Field } from "../../design/outline";
import { starter } from "../../design/outline";
import { example, join, type Schema, steps } from "../../design/schema";
import { Button } from "../../parts/button";
import { Icon } from "../../parts/icon";
import { readable } from "../../state/design";
import { edit, say } from "../../state/doc";
import { schema } from "../../state/schema";
import { parts } from "../../state/start";
import { unfold } from "./folds";

/** Add puts a new entry into names or a list, with all that is needed filled in to be changed. */
export function Add({ field }: { field: Field }) {
  return field.form === "list" ? <AddEntry field={field} /> : <AddName field={field} />;
}

function AddEntry({ field }: { field: Field }) {
  const add = async () => {
    const path = `${field.path}[${field.children.length + 1}]`;
    if (await edit([{ path, value: begin(field.path) }])) unfold(path);
  };
  return (
    <Button quiet class="more" icon={<Icon name="plus" />} onClick={() => void add()}>
      Add to “{field.title}”
    </Button>
  );
}

function AddName({ field }: { field: Field }) {
  const [name, setName] = useState("");
  const given = offered(readable.value, join(field.path, "x"), "key").filter(
    (n) => !field.children.some((c) => c.key === n),
  );
  const fixed = /^equipment\.(ends|carriers)$/.test(field.path);
  if (fixed && given.length === 0) return null;
  const add = async (chosen: string) => {
    if (!goodName(chosen)) return say("A name has letters and digits, with - _ and . between them.", "wrong");
    if (taken(readable.value, field.path, chosen)) return say(`“${chosen}” is there already.`, "wrong");
    const path = join(field.path, chosen);
    if (await edit([{ path, value: begin(field.path) }])) {
      setName("");
      unfold(path);
    }
  };
  return (
    <form
      class="add"
      onSubmit={(e) => {
        e.preventDefault();
        void add(fixed ? name || given[0]! : name.trim());
      }}
    >
      {fixed ? (
        <select aria-label={`Add to ${field.title}`} value={name} onChange={(e) => setName(e.currentTarget.value)}>
          {given.map((n) => (
            <option key={n}>{n}</option>
          ))}
        </select>
      ) : (
        <input
          type="text"
          aria-label={`Name of a new entry of ${field.title}`}
          placeholder="name"
          value={name}
          onInput={(e) => setName(e.currentTarget.value)}
        />
      )}
      <Button quiet type="submit" icon={<Icon name="plus" />}>
        Add
      </Button>
    </form>
  );
}

/** begin is the text of a new entry: like its last neighbour where there is one, else examples. */
function begin(group: string): string {
  const here = readable.value;
  const last = here.keys(group).at(-1);
  const count = here.count(group);
  const neighbour = last ? join(group, last) : count > 0 ? `${group}[${count}]` : "";
  return starter(schema.value!, group, (path, s) => {
    const inner = steps(path)
      .slice(steps(join(group, "new")).length)
      .join(".");
    return (neighbour && here.written(inner ? join(neighbour, inner) : neighbour)) || first(path, s);
  });
}

function first(path: string, s: Schema): string {
  const names = offered(readable.value, path.replace(/\.new\./, "[1]."), "value");
  if (names.length > 0) return names[0]!;
  if (typeof s.additionalProperties === "object") {
    const axes = offered(readable.value, join(path, "x"), "key");
    return `{${axes.map((a) => `${a}: 0 mm`).join(", ")}}`;
  }
  const kinds = s["x-part"];
  const part = kinds && [...parts.value.values()].find((p) => kinds.includes(p.kind));
  return part?.id ?? (example(s, schema.value!) || "new");
}

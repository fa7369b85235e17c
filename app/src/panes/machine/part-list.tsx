import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Scene, Solid } from "../../api/types";
import { hovered, select, selection } from "../../state/selection";
import { meant } from "./meant";
import { groupName, kinds, readable } from "./words";

interface Row {
  solid: Solid;
  heading: string;
}

/** rowsOf lists the parts that match a search, each with the heading it stands under. */
export function rowsOf(scene: Pick<Scene, "solids" | "axes">, search: string): Row[] {
  const words = search.toLowerCase().split(/\s+/).filter(Boolean);
  return kinds(scene).flatMap((k) => {
    const heading = `${groupName(k.group, scene)}: ${k.thing}`;
    return k.solids
      .filter((s) => {
        const text = `${heading} ${s.id} ${s.part ?? ""}`.toLowerCase();
        return words.every((w) => text.includes(w));
      })
      .map((solid) => ({ solid, heading }));
  });
}

/** typed finds the next row after `from` whose id or last word begins with what was typed. */
export function typed(rows: readonly Row[], from: number, text: string): number {
  const begins = (r: Row) => {
    const id = readable(r.solid.id).toLowerCase();
    return id.startsWith(text) || id.split(" ").some((w) => w.startsWith(text)) || r.solid.thing.startsWith(text);
  };
  for (let i = 0; i < rows.length; i++) {
    const at = (from + i + (text.length > 1 ? 0 : 1)) % rows.length;
    if (begins(rows[at]!)) return at;
  }
  return from;
}

/** PartList is the drawing as a list: every part can be reached and chosen by keys. */
export function PartList({ scene }: { scene: Scene }) {
  const [search, setSearch] = useState("");
  const [at, setAt] = useState(0);
  const list = useRef<HTMLDivElement>(null);
  const spelled = useRef({ text: "", until: 0 });
  const rows = useMemo(() => rowsOf(scene, search), [scene, search]);
  const here = Math.min(at, rows.length - 1);
  const chosen = meant(scene, selection.value);

  useEffect(() => {
    const first = rows.findIndex((r) => chosen.has(r.solid.id));
    if (first >= 0) setAt(first);
  }, [selection.value, rows]);
  useEffect(() => {
    list.current?.querySelector(`#part-${here}`)?.scrollIntoView({ block: "nearest" });
  }, [here]);

  const point = (i: number) => {
    setAt(i);
    hovered.value = rows[i] ? [rows[i].solid.id] : [];
  };
  const take = (i: number) => {
    const s = rows[i]?.solid;
    if (s) select({ kind: "part", id: s.id, parts: [s.id], path: s.path, from: "machine" });
  };
  const key = (e: KeyboardEvent) => {
    const to: Record<string, number> = {
      ArrowDown: here + 1,
      ArrowUp: here - 1,
      PageDown: here + 10,
      PageUp: here - 10,
      Home: 0,
      End: rows.length - 1,
    };
    const next = to[e.key];
    if (next !== undefined) point(Math.max(0, Math.min(rows.length - 1, next)));
    else if (e.key === "Enter" || e.key === " ") take(here);
    else if (e.key === "Escape") select(null);
    else if (e.key.length === 1 && !e.ctrlKey && !e.metaKey && !e.altKey) {
      const now = performance.now();
      const s = spelled.current;
      s.text = now < s.until ? s.text + e.key.toLowerCase() : e.key.toLowerCase();
      s.until = now + 900;
      point(typed(rows, here, s.text));
    } else return;
    e.preventDefault();
    e.stopPropagation();
  };

  return (
    <div class="part-list">
      <input
        type="search"
        placeholder="find a part"
        aria-label="Find a part"
        value={search}
        onInput={(e) => setSearch(e.currentTarget.value)}
      />
      <div
        class="part-rows"
        role="listbox"
        aria-label={`Parts, ${rows.length}`}
        tabIndex={0}
        aria-activedescendant={rows.length > 0 ? `part-${here}` : undefined}
        ref={list}
        onKeyDown={key}
        onMouseLeave={() => {
          hovered.value = [];
        }}
        onBlur={() => {
          hovered.value = [];
        }}
      >
        {rows.map((r, i) => (
          <>
            {rows[i - 1]?.heading !== r.heading && (
              <div class="part-heading" role="presentation">
                {r.heading}
              </div>
            )}
            {/* biome-ignore lint/a11y/useKeyWithClickEvents: the list answers keys */}
            {/* biome-ignore lint/a11y/useFocusableInteractive: the list has the focus */}
            <div
              key={r.solid.id}
              id={`part-${i}`}
              class={i === here ? "part-row part-here" : "part-row"}
              role="option"
              aria-selected={chosen.has(r.solid.id)}
              aria-label={`${readable(r.solid.id)}, ${r.heading}`}
              onMouseEnter={() => {
                hovered.value = [r.solid.id];
              }}
              onClick={() => {
                setAt(i);
                take(i);
              }}
            >
              {readable(r.solid.id)}
            </div>
          </>
        ))}
        {rows.length === 0 && <p class="notice">No part is called that.</p>}
      </div>
    </div>
  );
}

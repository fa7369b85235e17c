import { useEffect, useId, useRef, useState } from "preact/hooks";

export interface Choice {
  id: string;
  title: string;
  facts: string;
  note?: string;
}

interface Props {
  value: string;
  placeholder: string;
  choices: Choice[];
  label: string;
  invalid: boolean;
  describedBy?: string;
  commit: (id: string) => unknown;
  onFocus: () => void;
}

/** Chooser is a line of text with a list below it: each entry with what tells it from the others. */
export function Chooser({ value, placeholder, choices, label, invalid, describedBy, commit, onFocus }: Props) {
  const [typed, setTyped] = useState<string | null>(null);
  const [at, setAt] = useState(-1);
  const box = useRef<HTMLInputElement>(null);
  const list = useRef<HTMLDivElement>(null);
  const id = useId();
  const [open, setOpen] = useState(false);
  const shown = open ? fitting(choices, typed) : [];

  useEffect(() => {
    if (!open || !box.current || !list.current) return;
    list.current.showPopover();
    place(list.current, box.current.getBoundingClientRect());
  }, [open, shown.length]);
  useEffect(() => {
    list.current?.querySelector(`#${CSS.escape(`${id}-${at}`)}`)?.scrollIntoView({ block: "nearest" });
  }, [at, id]);

  const show = () => {
    setAt(choices.findIndex((c) => c.id === value));
    setOpen(true);
  };
  const close = () => {
    setOpen(false);
    setTyped(null);
  };
  const choose = (chosen: string) => {
    close();
    if (chosen !== value) commit(chosen);
  };
  const keys = (e: KeyboardEvent) => {
    if (e.key === "ArrowDown" || e.key === "ArrowUp") {
      if (!open) show();
      else setAt((at + (e.key === "ArrowDown" ? 1 : -1) + shown.length) % Math.max(1, shown.length));
    } else if (e.key === "Enter") {
      const picked = open ? shown[at] : undefined;
      if (picked) choose(picked.id);
      else if (typed !== null) choose(typed.trim());
      else show();
    } else if (e.key === "Escape" && open) close();
    else return;
    e.preventDefault();
    e.stopPropagation();
  };
  return (
    <div class="chooser">
      <input
        ref={box}
        type="text"
        role="combobox"
        aria-label={label}
        aria-expanded={open}
        aria-controls={`${id}-list`}
        aria-activedescendant={open && at >= 0 ? `${id}-${at}` : undefined}
        aria-autocomplete="list"
        aria-invalid={invalid}
        aria-describedby={describedBy}
        autocomplete="off"
        spellcheck={false}
        value={typed ?? value}
        placeholder={placeholder}
        onFocus={onFocus}
        onClick={show}
        onInput={(e) => {
          setTyped(e.currentTarget.value);
          setOpen(true);
          setAt(e.currentTarget.value === "" ? -1 : 0);
        }}
        onKeyDown={keys}
        onBlur={close}
      />
      <div
        id={`${id}-list`}
        ref={list}
        class="chooser-list"
        role="listbox"
        aria-label={label}
        popover="manual"
        hidden={!open}
      >
        {shown.map((c, i) => (
          // biome-ignore lint/a11y/useFocusableInteractive: focus stays in the line of text (aria-activedescendant)
          // biome-ignore lint/a11y/useKeyWithClickEvents: keys are answered by the line of text
          <div
            key={c.id}
            id={`${id}-${i}`}
            role="option"
            aria-selected={i === at}
            class={c.id === value ? "chosen" : ""}
            onPointerDown={(e) => e.preventDefault()}
            onClick={() => choose(c.id)}
          >
            <b>{c.id}</b> <span>{c.title}</span>
            {c.facts && <small>{c.facts}</small>}
            {c.note && <small class="chooser-note">{c.note}</small>}
          </div>
        ))}
        {open && shown.length === 0 && <p class="notice">Nothing of this name. Enter takes it as it is written.</p>}
      </div>
    </div>
  );
}

function fitting(choices: Choice[], typed: string | null): Choice[] {
  if (!typed) return choices;
  const words = typed.toLowerCase().split(/\s+/).filter(Boolean);
  return choices.filter((c) => words.every((w) => `${c.id} ${c.title} ${c.facts}`.toLowerCase().includes(w)));
}

// The list stands below the line, or above where there is more room.
function place(list: HTMLElement, box: DOMRect): void {
  const below = innerHeight - box.bottom - 8;
  const above = box.top - 8;
  const up = below < 180 && above > below;
  const style = list.style;
  style.minWidth = `${box.width}px`;
  style.maxHeight = `${Math.min(420, up ? above : below)}px`;
  style.left = `${Math.max(4, Math.min(box.left, innerWidth - list.offsetWidth - 8))}px`;
  style.top = up ? "auto" : `${box.bottom + 2}px`;
  style.bottom = up ? `${innerHeight - box.top + 2}px` : "auto";
}

import type { ComponentChildren } from "preact";
import { useRef } from "preact/hooks";

interface Props<T extends string> {
  name: string;
  tabs: { id: T; title: ComponentChildren }[];
  at: T;
  to: (id: T) => void;
  children?: ComponentChildren;
}

/** Tabs is a row of tabs; the panel below has id `${name}-panel`. Arrow keys move. */
export function Tabs<T extends string>({ name, tabs, at, to, children }: Props<T>) {
  const row = useRef<HTMLDivElement>(null);
  const move = (e: KeyboardEvent) => {
    const here = tabs.findIndex((t) => t.id === at);
    const target = { ArrowRight: here + 1, ArrowLeft: here - 1, Home: 0, End: tabs.length - 1 }[e.key];
    if (target === undefined) return;
    e.preventDefault();
    const next = tabs[(target + tabs.length) % tabs.length]!;
    to(next.id);
    row.current?.querySelector<HTMLElement>(`#${name}-tab-${next.id}`)?.focus();
  };
  return (
    <div class="tabs" ref={row}>
      <div role="tablist" aria-label={name} onKeyDown={move}>
        {tabs.map((t) => (
          <button
            key={t.id}
            id={`${name}-tab-${t.id}`}
            type="button"
            role="tab"
            aria-selected={t.id === at}
            aria-controls={`${name}-panel`}
            tabIndex={t.id === at ? 0 : -1}
            onClick={() => to(t.id)}
          >
            {t.title}
          </button>
        ))}
      </div>
      {children}
    </div>
  );
}

import { useEffect, useRef, useState } from "preact/hooks";

interface Props {
  value: string;
  label: string;
  placeholder?: string;
  invalid?: boolean;
  describedBy?: string;
  class?: string;
  /** as wide as its text at least, so that the unit is never cut off */
  whole?: boolean;
  /** take the focus when it appears */
  focused?: boolean;
  /** resolves when the change has arrived */
  commit: (text: string) => Promise<unknown> | unknown;
  /** arrow keys: the text one step up or down */
  step?: ((text: string, by: number) => string) | undefined;
  onLeave?: () => void;
}

/**
 * Draft is a line of text that counts only when it is finished: Enter or
 * leaving it commits, Escape takes it back. What was there stays in sight until
 * the change has arrived.
 */
export function Draft(props: Props) {
  const { value, commit, step } = props;
  const line = useRef<HTMLInputElement>(null);
  useEffect(() => {
    if (props.focused) line.current?.select();
  }, [props.focused]);
  const [draft, setDraft] = useState<string | null>(null);
  const shown = draft ?? value;
  const finish = async (text: string) => {
    if (text !== value) await commit(text);
    setDraft((now) => (now === text ? null : now));
  };
  return (
    <input
      type="text"
      spellcheck={false}
      autocomplete="off"
      ref={line}
      class={props.class}
      {...(props.whole && { size: Math.max(3, (shown || props.placeholder || "").length) })}
      aria-label={props.label}
      aria-invalid={props.invalid ?? false}
      aria-describedby={props.describedBy}
      placeholder={props.placeholder ?? ""}
      value={shown}
      onInput={(e) => setDraft(e.currentTarget.value)}
      onBlur={() => {
        if (draft !== null) void finish(draft);
        props.onLeave?.();
      }}
      onKeyDown={(e) => {
        if (e.key === "Enter") void finish(shown);
        else if (e.key === "Escape" && draft !== null) setDraft(null);
        else if (step && (e.key === "ArrowUp" || e.key === "ArrowDown")) {
          const next = step(shown, (e.key === "ArrowUp" ? 1 : -1) * (e.shiftKey ? 10 : 1));
          if (next === shown) return;
          setDraft(next);
          void finish(next);
        } else return;
        e.preventDefault();
      }}
    />
  );
}

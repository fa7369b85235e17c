import type { ComponentChildren } from "preact";
import { useId, useLayoutEffect, useRef } from "preact/hooks";
import { Button } from "./button";

interface Props {
  title: string;
  onClose: () => void;
  children: ComponentChildren;
  /** buttons at the foot; a plain Close otherwise */
  foot?: ComponentChildren;
  wide?: boolean;
}

/** Dialog is a native modal dialog: Escape closes it, focus returns to where it was. */
export function Dialog({ title, onClose, children, foot, wide }: Props) {
  const frame = useRef<HTMLDialogElement>(null);
  const heading = useId();
  useLayoutEffect(() => {
    const before = document.activeElement as HTMLElement | null;
    frame.current?.showModal();
    return () => before?.focus?.();
  }, []);
  return (
    <dialog
      ref={frame}
      class={wide ? "dialog dialog-wide" : "dialog"}
      aria-labelledby={heading}
      onClose={onClose}
      onCancel={(e) => {
        e.preventDefault();
        onClose();
      }}
    >
      <h2 id={heading}>{title}</h2>
      <div class="dialog-body">{children}</div>
      <div class="dialog-foot">{foot ?? <Button onClick={onClose}>Close</Button>}</div>
    </dialog>
  );
}

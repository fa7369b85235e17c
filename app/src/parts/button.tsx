import type { ComponentChildren, JSX } from "preact";

interface Props extends Omit<JSX.IntrinsicElements["button"], "icon"> {
  icon?: ComponentChildren;
  quiet?: boolean;
  main?: boolean;
}

/** Button is a plain push button with words, and perhaps a line drawing before them. */
export function Button({ icon, quiet, main, children, class: extra, ...rest }: Props) {
  const names = ["button", quiet ? "button-quiet" : "", main ? "button-main" : "", String(extra ?? "")];
  return (
    <button type="button" {...rest} class={names.filter(Boolean).join(" ")}>
      {icon}
      {children !== undefined && <span>{children}</span>}
    </button>
  );
}

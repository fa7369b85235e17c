import type { CompletionContext, CompletionResult } from "@codemirror/autocomplete";
import { hoverTooltip } from "@codemirror/view";
import { complete } from "../../design/complete";
import { describe } from "../../design/schema";
import { places, readable } from "../../state/design";
import { schema } from "../../state/schema";
import { parts } from "../../state/start";

/** source offers what may stand at the cursor. */
export function source(context: CompletionContext): CompletionResult | null {
  const root = schema.peek();
  if (!root) return null;
  const before = context.state.doc
    .lineAt(context.pos)
    .text.slice(0, context.pos - context.state.doc.lineAt(context.pos).from);
  const begun = /[\w.]$/.test(before) || /(: |[{[,] ?|- )$/.test(before);
  if (!context.explicit && !begun) return null;
  const found = complete(context.state.doc.toString(), context.pos, root, readable.peek(), parts.peek().values());
  if (
    !found ||
    (!context.explicit &&
      found.options.length === 1 &&
      found.options[0]!.label === before.slice(-found.options[0]!.label.length))
  ) {
    return null;
  }
  return {
    from: found.from,
    options: found.options.map((o) => ({
      label: o.label,
      apply: o.insert,
      ...(o.detail && { detail: o.detail }),
      ...(o.help && { info: o.help }),
      boost: o.detail === "needed" ? 2 : 0,
    })),
    validFor: /^[\w.-]*$/,
  };
}

/** hoverHelp says what a key means and, for a part, what it is. */
export const hoverHelp = hoverTooltip((_, pos) => {
  const root = schema.peek();
  const here = places.peek();
  const path = here.at(pos);
  const about = root && path ? describe(root, path) : null;
  const place = here.of(path);
  if (!about || !place || !(about.help || about.schema["x-part"])) return null;
  return {
    pos: place.whole.from,
    end: place.whole.to,
    above: true,
    create: () => ({ dom: card(path, about.help, here.written(path) ?? "") }),
  };
});

function card(path: string, help: string, value: string): HTMLElement {
  const dom = document.createElement("div");
  dom.className = "cm-hover";
  line(dom, "b", path);
  if (help) line(dom, "p", help);
  const part = parts.peek().get(value);
  if (part) line(dom, "p", `${part.id}: ${part.title}. ${part.facts.map(([k, v]) => `${k} ${v}`).join(", ")}`);
  return dom;
}

function line(into: HTMLElement, tag: "b" | "p", words: string): void {
  const element = document.createElement(tag);
  element.textContent = words;
  into.append(element);
}

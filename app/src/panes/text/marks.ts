import type { Diagnostic as Mark } from "@codemirror/lint";
import type { Diagnostic } from "../../api/types";
import { offset } from "../../design/places";

/** marks turns the program's diagnostics of a file into those of the editor. */
export function marks(text: string, diagnostics: readonly Diagnostic[], file: string): Mark[] {
  return diagnostics
    .filter((d) => !d.file || file.endsWith(d.file) || d.file.endsWith(file))
    .map((d) => {
      const from = offset(text, d.line, d.column);
      const to = d.end_line && d.end_column ? offset(text, d.end_line, d.end_column) : endOfWord(text, from, d.value);
      return { from, to: Math.max(to, from), severity: d.severity, message: words(d) };
    });
}

function endOfWord(text: string, from: number, value?: string): number {
  if (value && text.startsWith(value, from)) return from + value.length;
  const rest = /^[^\s,\]}]+/.exec(text.slice(from, from + 200));
  return from + (rest?.[0].length ?? 0);
}

function words(d: Diagnostic): string {
  const allowed = d.allowed && !d.message.includes(d.allowed) ? `\nallowed: ${d.allowed}` : "";
  return `${d.message}${allowed}${d.hint ? `\n${d.hint}` : ""}`;
}

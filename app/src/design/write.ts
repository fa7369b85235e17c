// How a value is written into the file.

import { isScalar, parseDocument, stringify } from "yaml";

/** plain is true where the text can stand as it is and reads as one value. */
function plain(text: string): boolean {
  const document = parseDocument(text, { logLevel: "silent" });
  if (document.errors.length > 0 || document.warnings.length > 0) return false;
  return isScalar(document.contents) && document.contents.type === "PLAIN" && document.contents.source === text.trim();
}

/** written is the YAML of one value that the user typed. */
export function written(text: string): string {
  const value = text.trim();
  if (/[,[\]{}]/.test(value) || !plain(value)) return JSON.stringify(value);
  return value;
}

/** writtenText is the YAML of words, which stay words even if they look like a number or a yes. */
export function writtenText(text: string): string {
  return stringify(text.trim(), { lineWidth: 0 }).trimEnd();
}

/** writtenVector is the YAML of several values in brackets. */
export function writtenVector(values: readonly string[]): string {
  return `[${values.map(written).join(", ")}]`;
}

/** Number with its unit, as typed; null where the text is none. */
export interface Quantity {
  number: string;
  gap: string;
  unit: string;
}

export function quantity(text: string): Quantity | null {
  const m = /^\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:e[-+]?\d+)?)(\s*)(\S.*?)?\s*$/i.exec(text);
  return m ? { number: m[1]!, gap: m[2]!, unit: m[3] ?? "" } : null;
}

/** withUnit completes a bare number with the unit that stood there before. */
export function withUnit(typed: string, before: string): string {
  const now = quantity(typed);
  const then = quantity(before);
  if (now?.unit !== "" || !then?.unit) return typed.trim();
  return `${now.number}${then.gap || " "}${then.unit}`;
}

/** stepped moves a number by one in its second digit (1.8 m by 0.1 m, 450 mm by 10 mm). */
export function stepped(text: string, by: number): string {
  const q = quantity(text);
  if (!q) return text;
  const value = Number(q.number);
  const size = value === 0 ? 0 : Math.floor(Math.log10(Math.abs(value)) + 1e-9);
  const decimals = Math.max(0, 1 - size, (q.number.split(".")[1] ?? "").length);
  const next = value + by * 10 ** (value === 0 ? 0 : size - 1);
  const shown = next
    .toFixed(Math.min(decimals, 12))
    .replace(/(\.\d*?)0+$/, "$1")
    .replace(/\.$/, "");
  return `${shown === "-0" ? "0" : shown}${q.gap}${q.unit}`;
}

/** dedent takes the common indentation off the lines after the first. */
export function dedent(block: string, indent: number): string {
  return block
    .split("\n")
    .map((line, i) => (i === 0 ? line : line.replace(new RegExp(`^ {0,${indent}}`), "")))
    .join("\n");
}

import { signal } from "@preact/signals";

/** opened are the checks whose working is shown. */
export const opened = signal<ReadonlySet<string>>(new Set());

export function toggleOpened(id: string): void {
  const next = new Set(opened.value);
  if (!next.delete(id)) next.add(id);
  opened.value = next;
}

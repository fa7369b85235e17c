// What a user does on the page, in the words of the page.

import type { Page } from "playwright-core";
import { expect } from "vitest";

/** judged waits until the ledger on show belongs to the text on show. */
export async function judged(page: Page): Promise<void> {
  await page.locator(".ledger:not(.stale) .line").first().waitFor({ timeout: 30_000 });
}

/** line is one check of the ledger. */
export const line = (page: Page, id: string) => page.locator(`[data-check="${id}"]`);

/** figures reads what a check's line says, e.g. "0.30 mm, at most 1.5 mm". */
export const figures = async (page: Page, id: string): Promise<string> =>
  (await line(page, id).locator(".line-figures").textContent()) ?? "";

/** field is one field of the outline, found by the search above it. */
export async function field(page: Page, search: string, path: string) {
  await page.getByRole("tab", { name: "Outline" }).click();
  await page.getByPlaceholder(/^Find a field/).fill(search);
  const row = page.locator(`[data-path="${path}"]`);
  await row.waitFor();
  return row.locator("input, select").first();
}

/** write puts a value into a field of the outline and leaves it. */
export async function write(page: Page, search: string, path: string, value: string): Promise<void> {
  const at = await field(page, search, path);
  await at.fill(value);
  await at.press("Enter");
}

/** toLine brings the first line of the text that holds something into view. */
export async function toLine(page: Page, holds: string) {
  const editor = page.locator(".cm-scroller");
  await editor.waitFor();
  const row = page.locator(".cm-line", { hasText: holds }).first();
  const late = Date.now() + 15_000; // ms; a change of another window takes its time
  for (let top = 0; (await row.count()) === 0; top += 300) {
    const end = await editor.evaluate((e, y) => {
      e.scrollTop = y;
      return y > e.scrollHeight;
    }, top);
    if (end && Date.now() > late) throw new Error(`no line of the text holds ${holds}`);
    if (end) top = -300;
    await page.waitForTimeout(30);
  }
  await row.scrollIntoViewIfNeeded();
  return row;
}

/** typeAt goes to the end of the first line that holds a text and types. */
export async function typeAt(page: Page, holds: string, type: (page: Page) => Promise<void>): Promise<void> {
  await page.getByRole("tab", { name: "Text", exact: true }).click();
  const row = await toLine(page, holds);
  await row.click();
  await page.keyboard.press("End");
  await type(page);
}

/** quiet expects that nothing went wrong in a window. */
export function quiet(errors: string[]): void {
  expect(errors.join("\n")).toBe("");
}

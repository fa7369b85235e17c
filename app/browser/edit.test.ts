// A design is changed as outline and as text, and the ledger follows.

import { readFileSync, writeFileSync } from "node:fs";
import type { Browser } from "playwright-core";
import { afterAll, afterEach, beforeAll, describe, expect, test } from "vitest";
import { field, figures, judged, quiet, typeAt, write } from "./page";
import { type Program, serve } from "./program";
import { keepIfFailed, launch, type Seen, see } from "./window";

describe("editing the seedling gantry", () => {
  let browser: Browser;
  let program: Program;
  let seen: Seen;
  beforeAll(async () => {
    [browser, program] = await Promise.all([launch(), serve("seedling-gantry")]);
    seen = await see(browser, program.address);
    await judged(seen.page);
  });
  afterAll(async () => {
    await browser?.close();
    await program?.stop();
  });

  afterEach((t) => keepIfFailed(t.task, seen.page));

  test("a heavier payload makes the tool sag more", async () => {
    const { page } = seen;
    const before = await figures(page, "tool.sag.variation");
    await write(page, "payload", "task.payload.mass", "18 kg");
    await expect.poll(() => figures(page, "tool.sag.variation")).not.toBe(before);
    expect(millimetres(await figures(page, "tool.sag.variation"))).toBeGreaterThan(millimetres(before));
    expect(await page.locator(".design-file").textContent()).toContain("not saved");
  });

  test("the text shows the same change and keeps its comments", async () => {
    const { page } = seen;
    await page.getByRole("tab", { name: "Text", exact: true }).click();
    const row = page.locator(".cm-line", { hasText: "mass: 18 kg" });
    await row.waitFor();
    expect(await row.textContent()).toContain("# a watered tray");
  });

  test("undo takes it back, redo brings it again", async () => {
    const { page } = seen;
    await page.getByRole("button", { name: "Undo" }).click();
    await page.locator(".cm-line", { hasText: "mass: 9 kg" }).waitFor();
    await page.getByRole("button", { name: "Redo" }).click();
    await page.locator(".cm-line", { hasText: "mass: 18 kg" }).waitFor();
    await judged(page);
  });

  test("a reload keeps unsaved work", async () => {
    const { page } = seen;
    await page.reload();
    await judged(page);
    expect(await (await field(page, "payload", "task.payload.mass")).inputValue()).toBe("18 kg");
    expect(readFileSync(program.path("gantry.yaml"), "utf8")).toContain("mass: 9 kg");
  });

  test("saving writes the file", async () => {
    const { page } = seen;
    await page.keyboard.press("Control+s");
    await expect.poll(() => readFileSync(program.path("gantry.yaml"), "utf8")).toContain("mass: 18 kg");
    await expect.poll(() => page.locator(".design-file").textContent()).not.toContain("not saved");
  });

  test("a mistake in the text is named at its line, and the numbers stay marked as old", async () => {
    const { page } = seen;
    await typeAt(page, "rate: 300 /h", async () => {
      await page.keyboard.press("Shift+Home");
      await page.keyboard.type("rate: 300 kg");
    });
    await page.locator(".text-mistakes li", { hasText: /^line 41 .*kg/ }).waitFor();
    await page.locator(".cm-lintRange-error", { hasText: "300 kg" }).waitFor();
    await page.locator(".ledger .notice-wrong").waitFor();
    await page.keyboard.press("Control+z");
    await judged(page);
  });

  test("a change by another program is seen", async () => {
    const { page } = seen;
    const text = readFileSync(program.path("gantry.yaml"), "utf8");
    writeFileSync(program.path("gantry.yaml"), text.replace("mass: 18 kg", "mass: 12 kg"));
    await page.getByRole("tab", { name: "Text", exact: true }).click();
    await page.locator(".cm-line", { hasText: "mass: 12 kg" }).waitFor({ timeout: 15_000 });
  });

  test("nothing went wrong meanwhile", () => quiet(seen.errors));
});

function millimetres(figure: string): number {
  const [, number, unit] = /([\d.]+)\s*(mm|m|µm)/.exec(figure) ?? [];
  return Number(number) * ({ mm: 1, m: 1000, µm: 0.001 }[unit ?? ""] ?? Number.NaN);
}

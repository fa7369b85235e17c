// Keyboard alone, screen readers (axe), reduced motion, small and large screens, print.

import AxeBuilder from "axe-core";
import type { Browser, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, describe, expect, test } from "vitest";
import { judged } from "./page";
import { type Program, serve } from "./program";
import { keepIfFailed, launch, type Seen, see } from "./window";

describe("the crate portal for everybody", () => {
  let browser: Browser;
  let program: Program;
  let seen: Seen;
  let page: Page;
  beforeAll(async () => {
    [browser, program] = await Promise.all([launch(), serve("crate-portal")]);
    seen = await see(browser, program.address);
    page = seen.page;
    await judged(page);
  });
  afterEach((t) => keepIfFailed(t.task, page));
  afterAll(async () => {
    await browser?.close();
    await program?.stop();
  });

  const focus = () =>
    page.evaluate(() => {
      const at = document.activeElement as HTMLElement | null;
      const ring = at ? getComputedStyle(at) : null;
      return {
        text: at?.textContent ?? "",
        inside: at?.closest("section")?.getAttribute("aria-label") ?? "",
        outline: ring?.outlineStyle ?? "",
      };
    });

  test("keys alone: to the ledger, open a working, to its field, change it, save", async () => {
    await page.keyboard.press("4");
    await expect.poll(async () => (await focus()).inside).toBe("Ledger");
    await page.keyboard.press("/");
    await page.keyboard.type("cycle time");
    await page.keyboard.press("Tab");
    for (
      let k = 0;
      k < 12 && !(await page.evaluate(() => document.activeElement?.classList.contains("line-head")));
      k++
    )
      await page.keyboard.press("Tab");
    await page.keyboard.press("Enter");
    await page.locator(".line[data-check='task.rate'] math, .line[data-check='task.rate'] table").first().waitFor();
    await page.keyboard.press("d");
    await page.locator('[data-path="task.rate"]').waitFor();
    await page.keyboard.press("1");
    await expect.poll(async () => (await focus()).inside).toBe("Description");
    await page.keyboard.press("?");
    await page.keyboard.press("Escape");
  });

  test("the list of keys opens with ? and closes with Escape", async () => {
    await page.keyboard.press("4");
    await page.keyboard.press("?");
    await page.getByRole("dialog").waitFor();
    await page.keyboard.press("Escape");
    await page.getByRole("dialog").waitFor({ state: "detached" });
  });

  test("what has the focus can be seen", async () => {
    await page.keyboard.press("4");
    await page.keyboard.press("Tab");
    expect((await focus()).outline).not.toBe("none");
  });

  for (const scheme of ["light", "dark"] as const)
    test(`axe finds nothing serious on any bench, ${scheme}`, async () => {
      await page.emulateMedia({ colorScheme: scheme });
      for (const name of ["Pose", "Work space", "Modes", "Cycle", "Split", "Variants", "Remedies"]) {
        await page.getByRole("tab", { name, exact: true }).click();
        await page.waitForTimeout(400);
        expect((await serious(page)).join("\n"), name).toBe("");
      }
      await page.getByRole("tab", { name: "Text", exact: true }).click();
      await page.waitForTimeout(400);
      expect((await serious(page)).join("\n"), "Text").toBe("");
      await page.getByRole("tab", { name: "Outline" }).click();
    }, 180_000);

  test("with reduced motion a mode is two still pictures", async () => {
    await page.emulateMedia({ reducedMotion: "reduce" });
    await page.getByRole("tab", { name: "Modes", exact: true }).click();
    await page.getByRole("button", { name: "other end" }).click();
    expect(await page.getByRole("button", { name: "Swing" }).count()).toBe(0);
  });

  test("a narrow window shows one pane at a time, and nothing is wider than the window", async () => {
    await page.setViewportSize({ width: 900, height: 700 });
    await page.getByRole("tab", { name: "Ledger", exact: true }).click();
    await page.locator(".line").first().waitFor();
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(900);
  });
});

/** serious lists what axe calls serious or critical, with the place. */
async function serious(page: Page): Promise<string[]> {
  await page.evaluate(AxeBuilder.source);
  return page.evaluate(async () => {
    const axe = (window as unknown as { axe: typeof import("axe-core") }).axe;
    const found = await axe.run(document, { resultTypes: ["violations"] });
    return found.violations
      .filter((v) => v.impact === "serious" || v.impact === "critical")
      .flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.target.join(" ")}`));
  });
}

// One selection in three places, and the bench: modes, cycle, pose, work space, split, variants, remedies.

import type { Browser, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, describe, expect, test } from "vitest";
import { field, judged, line, quiet } from "./page";
import { type Program, serve } from "./program";
import { keepIfFailed, launch, type Seen, see } from "./window";

describe("the panes of the seedling gantry", () => {
  let browser: Browser;
  let program: Program;
  let seen: Seen;
  let page: Page;
  beforeAll(async () => {
    [browser, program] = await Promise.all([launch(), serve("seedling-gantry")]);
    seen = await see(browser, program.address);
    page = seen.page;
    await judged(page);
    await page.locator(".drawing canvas").waitFor();
  });
  afterEach((t) => keepIfFailed(t.task, page));
  afterAll(async () => {
    await browser?.close();
    await program?.stop();
  });

  const bench = (name: string) => page.getByRole("tab", { name, exact: true }).click();

  test("a line of the ledger opens its working with a formula and lights its part and its field", async () => {
    await line(page, "axis.z.brake.wear").locator(".line-head").click();
    const working = line(page, "axis.z.brake.wear");
    await working.locator("math").first().waitFor();
    expect(
      await working
        .locator("math")
        .first()
        .evaluate((m) => m.namespaceURI),
    ).toContain("MathML");
    await page.keyboard.press("d");
    await page.locator('[data-path="axes.z.brake"]').waitFor();
    await expect.poll(() => page.locator(".caption, .drawing").last().textContent()).toMatch(/brake|motor|z/);
  });

  test("a part chosen in the list of parts lights its lines in the ledger", async () => {
    await page.getByRole("button", { name: "parts", exact: true }).click();
    const parts = page.locator(".part-list");
    await parts.waitFor();
    await parts.getByText(/foot/i).first().click();
    await page.locator(".line.lit").first().waitFor({ state: "attached" });
    await page.getByRole("button", { name: "parts", exact: true }).click();
  });

  test("a part chosen in the picture is named below it", async () => {
    const canvas = page.locator(".drawing canvas").first();
    const box = (await canvas.boundingBox())!;
    const chosen = async () => {
      for (let k = 1; k < 20; k++) {
        await page.mouse.click(box.x + (box.width * k) / 20, box.y + box.height * 0.55);
        if ((await page.locator(".line.lit").count()) > 0) return true;
      }
      return false;
    };
    expect(await chosen()).toBe(true);
  });

  test("a field of the outline lights what it speaks of", async () => {
    await (await field(page, "brake", "axes.z.brake")).focus();
    await page.locator(".line.lit").first().waitFor({ state: "attached" });
    await page.getByPlaceholder(/^Find a field/).fill("");
  });

  test("a mode swings in the drawing, and stops", async () => {
    await bench("Modes");
    await page.getByRole("radio").first().click();
    const before = await drawn(page);
    const swing = page.getByRole("button", { name: "Swing" });
    if (await swing.isVisible()) await swing.click();
    await expect.poll(() => drawn(page)).toBeGreaterThan(before + 5);
    await page.getByRole("button", { name: "Stop", exact: true }).click();
    await page.waitForTimeout(300);
    const after = await drawn(page);
    await page.waitForTimeout(500);
    expect(await drawn(page)).toBeLessThan(after + 2);
  });

  test("the cycle plays: the play head moves on and the machine with it", async () => {
    await bench("Cycle");
    const head = page.getByRole("slider", { name: /time in the cycle/ });
    await head.waitFor();
    await page.getByRole("button", { name: "Play", exact: true }).click();
    const start = Number(await head.inputValue());
    await expect.poll(async () => Number(await head.inputValue())).toBeGreaterThan(start);
    await page.getByRole("button", { name: "Stop", exact: true }).click();
    await page.locator(".charts canvas").first().waitFor();
  });

  test("the pose follows a slider by keys, and the tool's sag is that of the engine", async () => {
    await bench("Pose");
    const x = page.getByRole("slider", { name: "axis x" });
    await x.focus();
    await page.keyboard.press("Home");
    await expect.poll(() => x.inputValue()).toBe("0");
    await page.getByText(/Tool point/).waitFor();
  });

  test("the work space shows numbers in words and as a picture; a place in it becomes the pose", async () => {
    await bench("Work space");
    await page.locator(".map").waitFor();
    await page.locator(".map-hit").last().click();
    await page.locator(".legend").waitFor();
    await bench("Pose");
    expect(Number(await page.getByRole("slider", { name: "axis x" }).inputValue())).toBeGreaterThan(0);
  });

  test("the shares of the split add up", async () => {
    await bench("Split");
    await page.locator(".split-row").first().waitFor();
    const shares = await page.locator(".split-rows > li > .split-row .split-percent").allTextContents();
    const sum = shares.reduce((s, t) => s + Number.parseFloat(t), 0);
    expect(Math.abs(sum - 100)).toBeLessThan(0.05 * (shares.length + 1)); // each is rounded to 0.1 %
    await page.locator(".split-row").first().hover();
  });

  test("a state is kept and compared with a later one", async () => {
    await bench("Variants");
    await page.getByRole("textbox", { name: "Name of the variant" }).fill("as it was");
    await page.keyboard.press("Enter");
    await page.locator(".variants th, .variants td", { hasText: "as it was" }).first().waitFor();
  });

  test("remedies are looked for, one is tried and kept", async () => {
    await bench("Remedies");
    await page.locator(".remedies-head button").first().click();
    await page.locator(".remedy").first().waitFor({ timeout: 120_000 });
    const tools = page.locator(".remedy-tools").first();
    await tools.getByRole("button").first().click();
    await page.locator(".remedy-trial").first().waitFor({ timeout: 20_000 });
    await tools.getByRole("button").nth(1).click();
    await expect.poll(() => page.locator(".design-file").textContent()).toContain("not saved");
    await page.getByRole("button", { name: "Undo" }).click();
  }, 180_000);

  test("nothing went wrong meanwhile", () => quiet(seen.errors));
});

const drawn = (page: Page): Promise<number> =>
  page.evaluate(() => (window as unknown as { __frames?: { drawn: number } }).__frames?.drawn ?? 0);

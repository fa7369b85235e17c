// Several windows on one design, and what happens when the program goes away.

import { readFileSync, writeFileSync } from "node:fs";
import type { Browser } from "playwright-core";
import { afterAll, afterEach, beforeAll, describe, expect, test } from "vitest";
import { field, judged, quiet, toLine, typeAt, write } from "./page";
import { type Program, serve } from "./program";
import { keepIfFailed, launch, type Seen, see } from "./window";

describe("two windows on the crate portal", () => {
  let browser: Browser;
  let program: Program;
  let one: Seen;
  let two: Seen;
  beforeAll(async () => {
    [browser, program] = await Promise.all([launch(), serve("crate-portal")]);
    one = await see(browser, program.address);
    two = await see(browser, program.address);
    await judged(one.page);
    await judged(two.page);
  });
  afterEach(async (t) => {
    await keepIfFailed(t.task, one.page);
  });
  afterAll(async () => {
    await browser?.close();
    await program?.stop();
  });

  test("a change in one is seen in the other", async () => {
    await write(one.page, "rate", "task.rate", "470 /h");
    await two.page.getByRole("tab", { name: "Text", exact: true }).click();
    await toLine(two.page, "rate: 470 /h");
  });

  test("changes of different lines at the same time are joined", async () => {
    const offline = holdNews(two);
    await typeAt(two.page, "hours_per_year", async (page) => {
      await page.keyboard.type(" # two shifts");
    });
    await write(one.page, "rate", "task.rate", "460 /h");
    await offline.release();
    for (const { page } of [one, two]) {
      await page.getByRole("tab", { name: "Text", exact: true }).click();
      await toLine(page, "rate: 460 /h");
      await toLine(page, "# two shifts");
    }
  });

  test("changes of the same line ask which is meant, and both are shown", async () => {
    const offline = holdNews(two);
    await typeAt(two.page, "rate: 460 /h", async (page) => {
      await page.keyboard.press("Shift+Home");
      await page.keyboard.type("rate: 400 /h");
    });
    await write(one.page, "rate", "task.rate", "450 /h");
    await offline.release();
    const dialog = two.page.getByRole("dialog");
    await dialog.waitFor();
    const shown = (await dialog.textContent()) ?? "";
    expect(shown).toContain("rate: 400 /h");
    expect(shown).toContain("rate: 450 /h");
    await dialog.getByRole("button", { name: "Take mine" }).click();
    await expect.poll(async () => (await field(one.page, "rate", "task.rate")).inputValue()).toBe("400 /h");
  });

  test("saving over a file that changed on disk asks, and shows both", async () => {
    const text = readFileSync(program.path("gantry.yaml"), "utf8");
    writeFileSync(program.path("gantry.yaml"), text.replace(/rate: .*/, "rate: 333 /h"));
    await one.page.keyboard.press("Control+s");
    const dialog = one.page.getByRole("dialog");
    await dialog.waitFor();
    expect(await dialog.textContent()).toContain("rate: 333 /h");
    await dialog.getByRole("button", { name: "Save mine over it" }).click();
    await expect.poll(() => readFileSync(program.path("gantry.yaml"), "utf8")).toContain("rate: 400 /h");
  });

  test("nothing went wrong meanwhile", () => {
    quiet(one.errors.filter((e) => !/409|Conflict/.test(e)));
    quiet(two.errors.filter((e) => !/409|Conflict|ERR_FAILED/.test(e)));
  });
});

/** holdNews keeps a window from sending its typing for a while, as a slow machine would. */
function holdNews(seen: Seen) {
  let open!: () => void;
  const gate = new Promise<void>((go) => {
    open = go;
  });
  void seen.page.route("**/api/doc/text", async (route) => {
    await gate;
    await route.continue();
  });
  return {
    release: async () => {
      open();
      await seen.page.waitForTimeout(500);
      await seen.page.unroute("**/api/doc/text");
    },
  };
}

// Views as pictures to look at; nothing may be wider than its window or go wrong. SPANWRIGHT_PICTURES=all
// takes those of every bench in every window of three examples, otherwise some of each.

import { mkdirSync } from "node:fs";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { judged, quiet } from "./page";
import { serve } from "./program";
import { launch, see, shots } from "./window";

const benches = ["Pose", "Work space", "Modes", "Cycle", "Split", "Variants", "Remedies"];
const windows = [
  { name: "light", width: 1280, height: 720, scheme: "light" },
  { name: "dark", width: 1280, height: 720, scheme: "dark" },
  { name: "large", width: 3840, height: 2160, scheme: "light" },
] as const;

const all = process.env.SPANWRIGHT_PICTURES === "all";

describe("pictures of", () => {
  let browser: Browser;
  beforeAll(async () => {
    mkdirSync(shots, { recursive: true });
    browser = await launch();
  });
  afterAll(() => browser?.close());

  for (const example of ["crate-portal", "seedling-gantry", "slab-gantry"])
    test(example, async () => {
      const program = await serve(example);
      for (const { name, width, height, scheme } of all || example === "seedling-gantry"
        ? windows
        : windows.slice(0, 1)) {
        const { page, context, errors } = await see(browser, program.address, { width, height });
        await page.emulateMedia({ colorScheme: scheme });
        await judged(page);
        for (const bench of benches.slice(0, all ? 7 : name === "light" ? 2 : 1)) {
          await page.getByRole("tab", { name: bench, exact: true }).click();
          await page.waitForTimeout(700);
          await page.screenshot({ path: join(shots, `${example} ${name} ${bench}.png`) });
        }
        expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(width);
        quiet(errors);
        await context.close();
      }
      await program.stop();
    }, 240_000);
});

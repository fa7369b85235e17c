// Browser windows on the page: one Chromium for a test file, errors of the page collected.

import { existsSync, mkdirSync } from "node:fs";
import { join } from "node:path";
import { type Browser, type BrowserContext, chromium, type Page } from "playwright-core";

const executablePath = process.env.CHROMIUM ?? "/usr/bin/chromium";

export const found = existsSync(executablePath);

/**
 * launch starts a browser that draws 3D in software and asks nothing of the network. The page itself is put together
 * without the software 3D, which takes a processor to itself that the program under test has where there is a graphics card.
 */
export function launch(): Promise<Browser> {
  return chromium.launch({
    executablePath,
    headless: true,
    args: [
      "--no-sandbox",
      "--use-gl=angle",
      "--use-angle=swiftshader",
      "--enable-unsafe-swiftshader",
      "--disable-gpu-compositing",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
      "--enable-precise-memory-info",
      "--js-flags=--expose-gc",
    ],
  });
}

/** Seen is a window with what went wrong in it. */
export interface Seen {
  page: Page;
  context: BrowserContext;
  errors: string[];
}

/** see opens a window on an address and waits for its first ledger. */
export async function see(browser: Browser, address: string, size = { width: 1280, height: 720 }): Promise<Seen> {
  const context = await browser.newContext({ viewport: size });
  const page = await context.newPage();
  const errors: string[] = [];
  page.on("pageerror", (e) => errors.push(String(e)));
  page.on("console", (m) => {
    if (m.type() === "error") errors.push(m.text());
  });
  page.on("request", (r) => {
    if (!r.url().startsWith(new URL(address).origin) && !/^(data|blob):/.test(r.url()))
      errors.push(`foreign address ${r.url()}`);
  });
  await page.goto(address);
  return { page, context, errors };
}

/** shots is where pictures go; not kept in the repository. */
export const shots = join(import.meta.dirname, "shots");

/** keepIfFailed takes a picture of the window after a test that failed. */
export async function keepIfFailed(task: { name: string; result?: { state: string } }, page: Page): Promise<void> {
  if (task.result?.state !== "fail") return;
  mkdirSync(shots, { recursive: true });
  await page.screenshot({ path: join(shots, `failed ${task.name}.png`) });
}

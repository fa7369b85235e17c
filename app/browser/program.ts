// The program under test: a copy of a folder of designs, served by bin/spanwright open.

import { type ChildProcess, spawn } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const root = resolve(import.meta.dirname, "../..");

/** Program is one running server with the folder that it serves. */
export interface Program {
  address: string;
  folder: string;
  /** path of a file in the folder */
  path(name: string): string;
  stop(): Promise<void>;
}

/** serve copies an example into a folder of its own and opens it. */
export async function serve(example: string, file = "gantry.yaml"): Promise<Program> {
  const folder = mkdtempSync(join(tmpdir(), "spanwright-page-"));
  cpSync(join(root, "examples", example), folder, { recursive: true });
  return open(folder, file);
}

/** serveEmpty opens a folder without any design. */
export async function serveEmpty(): Promise<Program> {
  const folder = mkdtempSync(join(tmpdir(), "spanwright-page-"));
  mkdirSync(join(folder, "designs"));
  return open(join(folder, "designs"), "");
}

/** open serves a design of a folder that exists. */
export async function open(folder: string, file: string): Promise<Program> {
  const child = spawn(join(root, "bin/spanwright"), ["open", join(folder, file), "--no-browser"], {
    env: { ...process.env, NO_COLOR: "1" },
    stdio: ["ignore", "pipe", "pipe"],
  });
  const address = await addressOf(child);
  const stop = async () => {
    const ended = new Promise((done) => child.once("exit", done));
    child.kill("SIGINT");
    await ended;
    rmSync(folder, { recursive: true, force: true });
  };
  return { address, folder, path: (name) => join(folder, name), stop };
}

/** addressOf waits for the address that the program prints. */
function addressOf(child: ChildProcess): Promise<string> {
  return new Promise((found, failed) => {
    let said = "";
    const listen = (chunk: Buffer) => {
      said += chunk.toString();
      const address = /http:\/\/127\.0\.0\.1:\d+\/\S+/.exec(said)?.[0];
      if (address) found(address);
    };
    child.stdout?.on("data", listen);
    child.stderr?.on("data", listen);
    child.once("exit", (code) => failed(new Error(`the program ended with ${code}: ${said}`)));
  });
}

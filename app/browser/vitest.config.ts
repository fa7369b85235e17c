import { defineConfig } from "vitest/config";

// The page in a real browser, served by the real program (bin/spanwright).
export default defineConfig({
  root: import.meta.dirname,
  test: {
    include: ["*.test.ts"],
    environment: "node",
    fileParallelism: false,
    testTimeout: 60_000,
    hookTimeout: 60_000,
    expect: { poll: { timeout: 20_000 } },
    disableConsoleIntercept: true,
  },
});

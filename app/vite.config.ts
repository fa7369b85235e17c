import { defineConfig } from "vite";

// In development the page is served by Vite and the API by the program:
//   spanwright open FILE --no-browser            prints http://127.0.0.1:PORT/TOKEN/
//   SPANWRIGHT_ADDRESS=http://127.0.0.1:PORT/TOKEN/ npm run dev
const address = process.env.SPANWRIGHT_ADDRESS?.replace(/\/$/, "");

export default defineConfig({
  base: "./",
  build: {
    target: "es2022",
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0,
    cssCodeSplit: true,
    sourcemap: false,
    reportCompressedSize: false,
    chunkSizeWarningLimit: 1200,
  },
  ...(address && {
    server: {
      proxy: {
        "/api": {
          target: new URL(address).origin,
          changeOrigin: true,
          headers: { origin: new URL(address).origin },
          rewrite: (path: string) => new URL(address).pathname + path,
        },
      },
    },
  }),
  test: { include: ["src/**/*.test.ts", "src/**/*.test.tsx"], environment: "node" },
} as Parameters<typeof defineConfig>[0]);

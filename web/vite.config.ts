/// <reference types="vitest/config" />
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";
import { chunks } from "./build/chunks.ts";
import { shell } from "./build/shell.ts";

const here = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

const WORKER = "src/sw/sw.ts";
const SERVER = process.env.CANALCLOCK_DEV_SERVER ?? "http://127.0.0.1:8470";

const files = chunks();

export default defineConfig({
  plugins: [files.plugin, shell("sw.js")],
  build: {
    outDir: here("../server/canalclock/web"),
    emptyOutDir: true,
    target: "es2022",
    modulePreload: { polyfill: false },
    rolldownOptions: {
      input: {
        main: here("index.html"),
        ...(existsSync(here(WORKER)) ? { sw: here(WORKER) } : {}),
      },
      output: {
        codeSplitting: {
          includeDependenciesRecursively: false,
          groups: [{ name: files.nameOf }],
        },
        entryFileNames: (chunk) => (chunk.name === "sw" ? "sw.js" : "assets/[name]-[hash].js"),
        chunkFileNames: "assets/[name]-[hash].js",
        assetFileNames: "assets/[name]-[hash][extname]",
      },
    },
  },
  server: {
    fs: { allow: [here("..")] },
    proxy: { "/api": { target: SERVER, ws: true } },
  },
  test: {
    environment: "node",
    include: ["test/**/*.test.{ts,tsx}", "build/**/*.test.ts"],
    setupFiles: ["fake-indexeddb/auto"],
  },
});

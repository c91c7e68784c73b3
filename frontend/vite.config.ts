import { svelte } from "@sveltejs/vite-plugin-svelte";
import { svelteTesting } from "@testing-library/svelte/vite";
import { defineConfig } from "vitest/config";
import { budget } from "./tools/budget.ts";
import { firstRoute } from "./tools/first-route.ts";
import { pack } from "./tools/pack.ts";
import { page } from "./tools/page.ts";
import { serviceWorker } from "./tools/service-worker.ts";
import { stamp } from "./tools/stamp.ts";
import { words } from "./tools/words.ts";

const office = process.env["NURSERY_OFFICE"] ?? "http://127.0.0.1:8000";

export default defineConfig({
  plugins: [
    words(),
    svelte(),
    svelteTesting({ autoCleanup: false }),
    page(),
    serviceWorker(),
    firstRoute(),
    budget(),
    pack(),
    stamp(),
  ],
  build: {
    target: "es2022",
    // The page's policy forbids data: fonts and inline scripts.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  server: {
    fs: { allow: [".."] },
    proxy: { "/api": office, "/sign-in": office },
  },
  test: {
    environment: "node",
    include: ["src/**/*.test.ts", "tools/**/*.test.ts"],
    coverage: {
      provider: "v8",
      include: ["src/log/**/*.ts", "src/words/**/*.ts", "src/net/**/*.ts", "src/shelf/**/*.ts"],
      exclude: ["src/net/api.d.ts", "src/log/bodies.ts"],
      reporter: ["text"],
      thresholds: { "src/log/**/*.ts": { 100: true } },
    },
  },
});

/** Build `src/sw.ts` beside the app, and give it the list of files that it keeps for a start offline. */
import { createHash } from "node:crypto";
import { readFileSync, readdirSync } from "node:fs";
import type { Plugin, Rollup } from "vite";

const PLACE = "__FILES__";

export function serviceWorker(): Plugin {
  return {
    name: "service-worker",
    apply: "build",
    config: () => ({
      build: {
        rolldownOptions: {
          input: { app: "index.html", sw: "src/sw.ts" },
          output: {
            entryFileNames: ({ name }) => (name === "sw" ? "sw.js" : "assets/[name]-[hash].js"),
          },
        },
      },
    }),
    generateBundle: {
      order: "post",
      handler(_options, bundle) {
        const worker = bundle["sw.js"];
        if (worker?.type !== "chunk") this.error("sw.js was not built");
        if (worker.imports.length > 0) this.error("sw.js must stand alone: it imports nothing");
        worker.code = worker.code.replace(PLACE, JSON.stringify(JSON.stringify(files(bundle))));
      },
    },
  };
}

/** The build's name, and every file of it but the worker: `/` is the page itself. */
function files(bundle: Rollup.OutputBundle): { build: string; paths: string[] } {
  const hash = createHash("sha256");
  const paths: string[] = [];
  for (const [name, file] of Object.entries(bundle).sort(([a], [b]) => (a < b ? -1 : 1))) {
    if (name === "sw.js" || name.endsWith(".map")) continue;
    hash.update(name).update(file.type === "chunk" ? file.code : file.source);
    paths.push(name === "index.html" ? "/" : `/${name}`);
  }
  for (const name of readdirSync("public").sort()) {
    hash.update(name).update(readFileSync(`public/${name}`));
    paths.push(`/${name}`);
  }
  return { build: hash.digest("hex").slice(0, 16), paths };
}

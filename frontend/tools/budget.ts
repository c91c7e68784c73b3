/** Print what the first route loads, compressed, and stop the build where it is too much. */
import { gzipSync } from "node:zlib";
import type { Plugin, Rollup } from "vite";

const FIRST_ROUTE_KB = 90;
const SERVICE_WORKER_KB = 5;

export function budget(): Plugin {
  return {
    name: "budget",
    apply: "build",
    generateBundle: {
      order: "post",
      handler(_options, bundle) {
        const script = firstRoute(bundle);
        const worker = size(bundle["sw.js"]);
        this.info(`first route ${script.toFixed(1)} kB of ${FIRST_ROUTE_KB}, compressed`);
        this.info(`sw.js ${worker.toFixed(1)} kB of ${SERVICE_WORKER_KB}, compressed`);
        if (script > FIRST_ROUTE_KB || worker > SERVICE_WORKER_KB) {
          this.error("More script than a phone should wait for: load a part later, or drop it.");
        }
      },
    },
  };
}

/** The entry, what it imports at once, and the larger of the languages. */
function firstRoute(bundle: Rollup.OutputBundle): number {
  const seen = new Set<string>();
  const visit = (name: string): void => {
    const file = bundle[name];
    if (file?.type !== "chunk" || seen.has(name)) return;
    seen.add(name);
    file.imports.forEach(visit);
  };
  const chunks = Object.values(bundle).filter((file) => file.type === "chunk");
  chunks
    .filter((chunk) => chunk.isEntry && chunk.name !== "sw")
    .forEach((chunk) => {
      visit(chunk.fileName);
    });
  const words = chunks
    .filter((chunk) => chunk.facadeModuleId?.includes("/words/") === true)
    .map(size);
  return [...seen].reduce((sum, name) => sum + size(bundle[name]), 0) + Math.max(0, ...words);
}

function size(file: Rollup.OutputBundle[string] | undefined): number {
  if (!file) return 0;
  return gzipSync(file.type === "chunk" ? file.code : file.source).length / 1024;
}

/** Print what the first route loads, compressed, and stop the build where it is too much. */
import { gzipSync } from "node:zlib";
import type { Plugin, Rollup } from "vite";
import { late } from "./words.ts";

const FIRST_ROUTE_KB = 90;
// Nobody waits for it, and most of it is the list of the app's files.
const SERVICE_WORKER_KB = 6;

export function budget(): Plugin {
  return {
    name: "budget",
    apply: "build",
    generateBundle: {
      order: "post",
      handler(_options, bundle) {
        const script = firstRoute(bundle);
        const worker = size(bundle["sw.js"]);
        if (firstPieces(bundle).length === 0) this.error("The page names no script.");
        this.info(`first route ${script.toFixed(1)} kB of ${FIRST_ROUTE_KB}, compressed`);
        this.info(`sw.js ${worker.toFixed(1)} kB of ${SERVICE_WORKER_KB}, compressed`);
        const rest = chunksOf(bundle).filter((chunk) => isWords(chunk, "rest"));
        for (const piece of firstPieces(bundle)) {
          for (const language of rest) {
            const missing = late(piece.code, language);
            if (missing.length > 0)
              this.error(
                `words of the first route that come late (add them to FIRST in tools/words.ts): ${missing.join(", ")}`,
              );
          }
        }
        if (script > FIRST_ROUTE_KB || worker > SERVICE_WORKER_KB) {
          this.error("More script than a phone should wait for: load a part later, or drop it.");
        }
      },
    },
  };
}

/** What the page names and what that imports at once. */
function firstPieces(bundle: Rollup.OutputBundle): Rollup.OutputChunk[] {
  const seen = new Map<string, Rollup.OutputChunk>();
  const visit = (name: string): void => {
    const file = bundle[name];
    if (file?.type !== "chunk" || seen.has(name)) return;
    seen.set(name, file);
    file.imports.forEach(visit);
  };
  const page = bundle["index.html"];
  const source = page?.type === "asset" ? String(page.source) : "";
  for (const [, name] of source.matchAll(/src="\/([^"]+\.js)"/g)) visit(name ?? "");
  return [...seen.values()];
}

/** The first route, with what it says in every language. */
function firstRoute(bundle: Rollup.OutputBundle): number {
  return firstPieces(bundle).reduce((sum, piece) => sum + size(piece), 0);
}

function chunksOf(bundle: Rollup.OutputBundle): Rollup.OutputChunk[] {
  return Object.values(bundle).filter((file) => file.type === "chunk");
}

function isWords({ facadeModuleId }: Rollup.OutputChunk, part: string): boolean {
  return facadeModuleId?.includes("/words/") === true && facadeModuleId.endsWith(`?${part}`);
}

function size(file: Rollup.OutputBundle[string] | undefined): number {
  if (!file) return 0;
  return gzipSync(file.type === "chunk" ? file.code : file.source).length / 1024;
}

/** Time the fold of a batch with 5 000 entries against JSON.parse of the same entries. */
import { build } from "vite";
import { rm } from "node:fs/promises";

const { output } = await build({
  configFile: false,
  logLevel: "warn",
  build: { ssr: "bench/fold.ts", write: true, outDir: "node_modules/.bench" },
}).then((built) => built);
const file = new URL(`../node_modules/.bench/${output[0].fileName}`, import.meta.url);
await import(file.href);
if (!process.env.KEEP)
  await rm(new URL("../node_modules/.bench", import.meta.url), { recursive: true });

/** Bundle one TypeScript file of this folder and run it in Node: `node tools/run.js FILE [WORDS]`. */
import { rm } from "node:fs/promises";
import { build } from "vite";

const [file, ...words] = process.argv.slice(2);
const outDir = `node_modules/.run-${process.pid}`;
const { output } = await build({
  configFile: false,
  logLevel: "warn",
  build: { ssr: file, outDir, emptyOutDir: true },
});
process.argv = [process.argv[0], file, ...words];
try {
  await import(new URL(`../${outDir}/${output[0].fileName}`, import.meta.url).href);
} finally {
  if (!process.env.KEEP) await rm(new URL(`../${outDir}`, import.meta.url), { recursive: true });
}

/**
 * Leave in `dist` the hash of the sources that it was built from.
 *
 * Twin of `sources()` in `hatch_build.py`: an install rebuilds only where the hash differs.
 */
import { createHash } from "node:crypto";
import { readFileSync, readdirSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Plugin } from "vite";

export const WATCHED = [
  ...["index.html", "package-lock.json", "package.json", "svelte.config.js", "tsconfig.json"],
  ...["vite.config.ts", "public", "src", "tools", "../nursery/words"],
];

export function stamp(): Plugin {
  return {
    name: "stamp",
    apply: "build",
    closeBundle: {
      order: "post",
      sequential: true,
      handler() {
        writeFileSync("dist/.sources", `${sources(".")}\n`);
      },
    },
  };
}

/** SHA-256 over each watched file's path and hash, in the order of the paths' bytes. */
export function sources(root: string, watched = WATCHED): string {
  const whole = createHash("sha256");
  for (const path of watched.flatMap((name) => files(root, name)).sort(byBytes)) {
    const one = createHash("sha256").update(readFileSync(join(root, path)));
    whole.update(`${path}\0${one.digest("hex")}\n`);
  }
  return whole.digest("hex");
}

function files(root: string, path: string): string[] {
  if (!statSync(join(root, path)).isDirectory()) return [path];
  return readdirSync(join(root, path))
    .filter((name) => name !== "__pycache__")
    .flatMap((name) => files(root, `${path}/${name}`));
}

function byBytes(a: string, b: string): number {
  return Buffer.compare(Buffer.from(a), Buffer.from(b));
}

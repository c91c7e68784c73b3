/** Lay a packed copy beside each file of the build, which the office gives to a browser that takes it. */
import { readFile, readdir, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { promisify } from "node:util";
import { brotliCompress, constants, gzip } from "node:zlib";
import type { Plugin } from "vite";

// Pictures and fonts are packed already.
const PACKABLE = /\.(?:js|css|html|json|svg|wasm|webmanifest)$/;
// Below this an answer is one packet, whatever its form.
const WORTH_PACKING = 1000;

export function pack(): Plugin {
  return {
    name: "pack",
    apply: "build",
    writeBundle: {
      order: "post",
      async handler({ dir = "dist" }) {
        await packAll(dir);
      },
    },
  };
}

/** Pack each file of a folder, and say how many were worth it. */
export async function packAll(folder: string): Promise<number> {
  const found = await readdir(folder, { recursive: true, withFileTypes: true });
  const files = found.filter((one) => one.isFile() && PACKABLE.test(one.name));
  const packed = await Promise.all(files.map((one) => packOne(join(one.parentPath, one.name))));
  return packed.filter(Boolean).length;
}

async function packOne(path: string): Promise<boolean> {
  const raw = await readFile(path);
  if (raw.length < WORTH_PACKING) return false;
  const size = { [constants.BROTLI_PARAM_SIZE_HINT]: raw.length };
  const copies = await Promise.all([
    promisify(gzip)(raw, { level: 9 }).then((bytes) => ({ name: `${path}.gz`, bytes })),
    promisify(brotliCompress)(raw, { params: size }).then((bytes) => ({
      name: `${path}.br`,
      bytes,
    })),
  ]);
  const smaller = copies.filter(({ bytes }) => bytes.length < raw.length);
  await Promise.all(smaller.map(({ name, bytes }) => writeFile(name, bytes)));
  return smaller.length > 0;
}

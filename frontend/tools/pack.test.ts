import { mkdtemp, readFile, readdir, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { brotliDecompressSync, gunzipSync } from "node:zlib";
import { afterEach, beforeEach, expect, test } from "vitest";
import { packAll } from "./pack";

let folder: string;

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "pack-"));
});

afterEach(async () => {
  await rm(folder, { recursive: true });
});

test("each copy unpacks to the file beside it, byte for byte", async () => {
  const script = "export const says = 'a tray of seedlings';\n".repeat(100);
  await writeFile(join(folder, "app.js"), script);
  expect(await packAll(folder)).toBe(1);
  const copy = (end: string) => readFile(join(folder, `app.js.${end}`));
  expect(gunzipSync(await copy("gz")).toString()).toBe(script);
  expect(brotliDecompressSync(await copy("br")).toString()).toBe(script);
});

test("what is short, packed already, or no file for a browser has no copy", async () => {
  await writeFile(join(folder, "short.js"), "1;");
  await writeFile(join(folder, "font.woff2"), "x".repeat(5000));
  await writeFile(join(folder, ".sources"), "x".repeat(5000));
  expect(await packAll(folder)).toBe(0);
  expect((await readdir(folder)).sort()).toEqual([".sources", "font.woff2", "short.js"]);
});

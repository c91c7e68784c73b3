import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, test } from "vitest";
import { archive } from "./archive";
import { bare, frame, NoJpeg } from "./jpeg";
import { fitted, MOST, TYPICAL, within } from "./size";

function segment(marker: number, ...content: number[]): number[] {
  const length = content.length + 2;
  return [0xff, marker, length >> 8, length & 255, ...content];
}

const text = (said: string): number[] => [...new TextEncoder().encode(said)];
const SIZE = segment(0xc0, 8, 0x04, 0xb0, 0x06, 0x40, 1, 1, 0x11, 0);
const JFIF = segment(0xe0, ...text("JFIF\0"), 1, 1, 0);
const TABLE = segment(0xdb, 0, 1, 2);
const SCAN = [...segment(0xda, 1, 1, 0, 0, 63, 0), 0x12, 0xff, 0x00, 0x34, 0xff, 0xd9];
const TOLD: Record<string, number[]> = {
  EXIF: segment(0xe1, ...text("Exif\0\0"), 1, 2),
  "a profile": segment(0xe2, ...text("ICC_PROFILE\0")),
  "a caption": segment(0xed, ...text("Photoshop 3.0\0")),
  "a comment": segment(0xfe, ...text("north bench")),
};

function file(...parts: number[][]): Uint8Array<ArrayBuffer> {
  return Uint8Array.from([0xff, 0xd8, ...parts.flat()]);
}

describe("a picture's file", () => {
  test.each(Object.entries(TOLD))("%s is taken out and the points stay", (_, told) => {
    expect(bare(file(JFIF, told, TABLE, told, SIZE, SCAN))).toEqual(file(JFIF, TABLE, SIZE, SCAN));
  });

  test("how its colours are coded stays in it", () => {
    const adobe = segment(0xee, ...text("Adobe"), 0, 100);
    expect(bare(file(adobe, SIZE, SCAN))).toEqual(file(adobe, SIZE, SCAN));
  });

  test("bytes of the scan that look like a head are left alone", () => {
    const scan = [...segment(0xda, 1, 1, 0, 0, 63, 0), ...(TOLD["EXIF"] ?? []), 0xff, 0xd9];
    expect(bare(file(SIZE, scan))).toEqual(file(SIZE, scan));
  });

  test.each([
    ["plain", file(JFIF, SIZE, SCAN)],
    ["with blanks before a marker", file(JFIF, [0xff, 0xff], SIZE, SCAN)],
    ["in stages", file(segment(0xc4, 0), segment(0xc2, ...SIZE.slice(4)), SCAN)],
  ])("its size is read from its head: %s", (_, bytes) => {
    expect(frame(bytes)).toEqual({ width: 1600, height: 1200 });
  });

  test.each<[string, Uint8Array<ArrayBuffer>]>([
    ["nothing", new Uint8Array()],
    ["another form", Uint8Array.from(text("\x89PNG"))],
    ["a start alone", file()],
    ["cut within a segment", file(JFIF.slice(0, 6))],
    ["cut within a length", file([0xff, 0xe0, 0])],
    ["no marker where one must be", file(JFIF, [1, 2, 3, 4])],
  ])("what is no picture is turned down: %s", (_, bytes) => {
    expect(() => bare(bytes)).toThrow(NoJpeg);
    expect(() => frame(bytes)).toThrow(NoJpeg);
  });

  test("a picture without a size is turned down", () => {
    expect(() => frame(file(JFIF, SCAN))).toThrow(NoJpeg);
  });
});

describe("how small", () => {
  test.each([
    [4000, 3000, 1600, 1200],
    [3000, 4000, 1200, 1600],
    [1600, 900, 1600, 900],
    [640, 480, 640, 480],
    [9000, 2, 1600, 1],
  ])("%i x %i becomes %i x %i", (width, height, wide, high) => {
    expect(within({ width, height }, 1600)).toEqual({ width: wide, height: high });
  });

  /** A file whose bytes grow with the quality, as those of an encoder do. */
  const encoder =
    (full: number, tried: number[] = []) =>
    (quality: number): Promise<Blob> => {
      tried.push(quality);
      return Promise.resolve(new Blob([new Uint8Array(Math.round(full * quality ** 2))]));
    };

  test("the best quality is taken at once where it is small enough", async () => {
    const tried: number[] = [];
    await fitted(encoder(500_000, tried), TYPICAL);
    expect(tried).toHaveLength(1);
  });

  test.each([600_000, 1_000_000, 2_000_000])(
    "of %i bytes as much is kept as is typical, in few steps and always the same",
    async (full) => {
      const tried: number[] = [];
      const found = await fitted(encoder(full, tried), TYPICAL);
      expect(found.size).toBeLessThanOrEqual(TYPICAL);
      expect(found.size).toBeGreaterThan(TYPICAL * 0.85);
      expect(tried.length).toBeLessThanOrEqual(6);
      expect((await fitted(encoder(full), TYPICAL)).size).toBe(found.size);
    },
  );

  test("where none is small enough it is the smallest", async () => {
    const found = await fitted(encoder(8_000_000), TYPICAL);
    expect(found.size).toBe(1_280_000);
    expect(found.size).toBeLessThan(MOST);
  });
});

describe("all pictures in one file", () => {
  const place = mkdtempSync(join(tmpdir(), "photos-"));
  afterAll(() => {
    rmSync(place, { recursive: true });
  });

  test("it is opened by the tar of any computer", async () => {
    const items = [1, 512, 700].map((size) => ({
      name: `f-${size}.jpg`,
      data: new Blob([new Uint8Array(size).fill(size % 251)]),
      at: "2001-03-03T02:00:00.000Z",
    }));
    const path = join(place, "photos.tar");
    writeFileSync(path, new Uint8Array(await archive(items).arrayBuffer()));
    const opened = spawnSync("tar", ["-xf", path, "-C", place], { encoding: "utf8" });
    expect([opened.status, opened.stderr]).toEqual([0, ""]);
    for (const { name, data } of items) {
      expect(new Uint8Array(readFileSync(join(place, name)))).toEqual(
        new Uint8Array(await data.arrayBuffer()),
      );
    }
    const listed = spawnSync("tar", ["-tvf", path, "--utc"], { encoding: "utf8" }).stdout;
    expect(listed).toContain("2001-03-03 02:00");
  });
});

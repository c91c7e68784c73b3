import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import {
  checks,
  isSigned,
  verdict,
  type Block,
  type Check,
  type Colour,
  type Day,
  type Levels,
  type Plants,
} from "./planting";

interface Scene {
  readonly name: string;
  readonly plants: Plants;
  readonly day: Day;
  readonly blocks: readonly Block[];
  readonly levels: Levels;
  readonly checks: readonly Check[];
  readonly verdicts: readonly {
    readonly signed: readonly string[];
    readonly all: Colour;
    readonly blocks: Readonly<Record<string, Colour>>;
  }[];
}

const SCENES = JSON.parse(readFileSync("../tests/vectors/planting.json", "utf8")) as Scene[];

describe("a planting day is judged here as at the office", () => {
  test.each(SCENES)("$name", (scene) => {
    const found = checks(scene.plants, scene.day, scene.blocks, scene.levels);
    expect(found).toEqual(scene.checks);
    for (const { signed, all, blocks } of scene.verdicts) {
      expect(verdict(found, new Set(signed))).toBe(all);
      for (const [block, colour] of Object.entries(blocks)) {
        expect(verdict(found, new Set(signed), block)).toBe(colour);
      }
    }
  });
});

test("what the authority decides is never signed away", () => {
  const [scene] = SCENES;
  if (!scene) throw new Error("no scenes");
  const plants = { ...scene.plants, held: true };
  const found = checks(plants, scene.day, scene.blocks, scene.levels);
  const every = new Set(found.map(({ key }) => key));
  expect(found.filter((one) => one.colour !== "go" && !isSigned(one, every))).toMatchObject([
    { what: "holds", colour: "no" },
  ]);
  expect(verdict(found, every)).toBe("no");
});

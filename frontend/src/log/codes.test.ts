import { readFileSync } from "node:fs";
import fc from "fast-check";
import { expect, test } from "vitest";
import { read, write, type Code } from "./codes";

interface Case {
  name: string;
  text: string;
  code: Code | null;
}

const CASES = JSON.parse(readFileSync("../tests/vectors/codes.json", "utf8")) as Case[];

test.each(CASES)("$name", ({ text, code }) => {
  expect(read(text)).toEqual(code);
  if (code) expect(write(code)).toBe(text);
});

const names = fc.string({ unit: "grapheme", minLength: 1, maxLength: 20 });
const ids = fc.oneof(fc.uuid(), names).filter((id) => Array.from(id).length <= 64);

test("whatever is written is read back", () => {
  fc.assert(
    fc.property(fc.constantFrom("batch" as const, "place" as const), ids, (what, id) => {
      expect(read(write({ what, id }))).toEqual({ what, id });
    }),
  );
});

test("a text of ours is the only one for its id", () => {
  const letters = fc.constantFrom(..."L B P . / % A 7 F 2".split(" "));
  const texts = fc.array(letters, { maxLength: 34 }).map((some) => `LB${some.join("")}`);
  fc.assert(
    fc.property(fc.oneof(fc.string(), texts), (text) => {
      const found = read(text);
      if (found) expect(write(found)).toBe(text);
    }),
  );
});

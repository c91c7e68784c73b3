import { expect, test } from "vitest";
import en from "../../../../nursery/words/en.json";
import { speaker } from "../../words/say";
import { sums, textsOf, type Field, type Held } from "./compare";

const voice = speaker("en", en);
const field = (held: Held): Field => ({ field: "origin", held, permit: "A", certificate: "B" });

test("fields are summed, what wants a look first", () => {
  const fields = (["same", "same", "missing", "not_asked", "different"] as const).map(field);
  expect(sums(fields)).toEqual([
    { key: "certificate.sum.different", n: 1 },
    { key: "certificate.sum.missing", n: 1 },
    { key: "certificate.sum.same", n: 2 },
  ]);
  expect(sums([])).toEqual([]);
});

test.each([
  ["taxa", ["Citrus australasica"], ["Citrus australasica"]],
  ["quantity", 324, ["324"]],
  ["days", ["2031-01-01", null], ["WED 1 JAN", "…"]],
  ["declaration", "Free of scale", ["Free of scale"]],
  ["origin", null, []],
] as const)("%s %j is said as %j", (name, value, said) => {
  expect(textsOf(name, value, voice)).toEqual(said);
});

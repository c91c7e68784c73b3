import { expect, test } from "vitest";
import { against, fileOf, plantsOf, type Gate } from "./handing";

test.each([
  ["12", 12],
  [" 3 ", 3],
  ["", null],
  ["0", null],
  ["1.5", null],
  ["-2", null],
  ["many", null],
])("%j typed is %j plants", (typed, plants) => {
  expect(plantsOf(typed)).toBe(plants);
});

test("what speaks against it is each part that is not a yes", () => {
  const held = { answer: "no", reason: "held_by_order", params: { reference: "LF-12" } };
  const gate: Gate = { parts: [held, { answer: "yes", reason: "released", params: {} }] };
  expect(against(gate)).toEqual([held]);
});

test.each([
  ['{"format": "plants 1"}', { format: "plants 1" }],
  ["[]", null],
  ["null", null],
  ["7", null],
  ["not at all", null],
])("the file %j is %j", (text, file) => {
  expect(fileOf(text)).toEqual(file);
});

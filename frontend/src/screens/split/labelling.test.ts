import { describe, expect, test } from "vitest";
import { labelSays, parted, uncertainLabel } from "./labelling";

const worn = (id: string, label: string | null, closed = false) => ({ id, label, closed });
const STOCK = [worn("b-3", "T3"), worn("b-4", "T4", true), worn("b-9", null)];

describe("a label", () => {
  test.each([
    ["t 03", null, { twice: true, before: false, alike: ["TR3"] }],
    ["T3", "b-3", { twice: false, before: false, alike: ["TR3"] }],
    ["T4", null, { twice: false, before: true, alike: [] }],
    ["T9", null, { twice: false, before: false, alike: [] }],
  ])("%s for %s", (label, own, says) => {
    expect(labelSays(label, own, STOCK, ["TR3", "OC"])).toEqual(says);
  });

  test("is taken for one that differs by a letter", () => {
    expect(labelSays("TR3", null, STOCK, [])).toMatchObject({ alike: ["T3"] });
  });
});

test.each([
  [[], "U"],
  [["T1", "U"], "U2"],
  [["U", "u 2"], "U3"],
])("among %j the uncertain ones are called %s", (labels, label) => {
  expect(uncertainLabel(labels)).toBe(label);
});

test.each([
  ["TR3", { letters: "TR", number: "3" }],
  ["U", { letters: "U", number: "" }],
])("%s is %j", (label, parts) => {
  expect(parted(label)).toEqual(parts);
});

import { expect, test } from "vitest";
import { against, arrivalNumber, readUnknown, sum, trayId, unknownConsignment } from "./arrival";

test("an unknown consignment is called by its day and a number", () => {
  const id = unknownConsignment({ on: "2031-03-03", number: "472" });
  expect(id).toBe("arrival_2031-03-03_472");
  expect(readUnknown(id)).toEqual({ on: "2031-03-03", number: "472" });
  expect(readUnknown("con-1")).toBeNull();
});

test.each([
  [0, "100"],
  [372, "472"],
  [65_535, "835"],
])("chance %i is the number %s", (chance, number) => {
  expect(arrivalNumber(chance)).toBe(number);
});

test("two phones give one tray the same id, however the label is written", () => {
  expect(trayId("con-1", "T 06")).toBe("con-1_t6");
  expect(trayId("con-1", "t6")).toBe("con-1_t6");
});

test("an id of a tray is never longer than the book takes", () => {
  expect(trayId("c".repeat(64), "LABEL".repeat(9))).toHaveLength(64);
});

test.each([
  [324, 318, { code: "short", n: 6 }],
  [318, 324, { code: "over", n: 6 }],
  [54, 54, { code: "same", n: 0 }],
  [null, 54, null],
  [324, null, null],
])("paper %o against count %o is %o", (paper, counted, said) => {
  expect(against(paper, counted)).toEqual(said);
});

const TRAYS = [
  { alive: 53, ledger: { in: 54, died: 0, sampled: 1 } },
  { alive: 50, ledger: { in: 54, died: 4, sampled: 0 } },
];

test("a consignment is the sum of its trays", () => {
  expect(sum(TRAYS)).toEqual({
    trays: 2,
    waiting: 0,
    counted: 108,
    soFar: 108,
    alive: 103,
    died: 4,
    sampled: 1,
  });
});

test("as long as a tray was not counted nothing is said of the whole", () => {
  const uncounted = { alive: null, ledger: { in: 0, died: 1, sampled: 0 } };
  expect(sum([...TRAYS, uncounted])).toMatchObject({ waiting: 1, counted: null, soFar: 108 });
  expect(sum([])).toMatchObject({ trays: 0, counted: null });
});

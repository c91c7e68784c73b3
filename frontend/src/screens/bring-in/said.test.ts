import { expect, test } from "vitest";
import { ADD, answered, meaning, named, NOTHING_SAID, query } from "./said";
import type { Unknown } from "./shapes";

const PLUM: Unknown = { column: "crop", said: "Plum", rows: 2, made: true };
const SHOWN = {
  columns: [
    { at: 0, heading: "Nr", field: null },
    { at: 1, heading: "Label", field: "label" as const },
  ],
};

test("a column that takes another's meaning leaves that one without any", () => {
  const said = meaning({ ...NOTHING_SAID, left_out: 3 }, SHOWN, 0, "label");
  expect(said.columns).toEqual({ 0: "label", 1: null });
  expect(said.left_out).toBe(0);
  expect(meaning(NOTHING_SAID, SHOWN, 1, null).columns).toEqual({ 1: null });
});

test("what a name is can be said, changed and taken back", () => {
  const made = named(NOTHING_SAID, PLUM, ADD);
  expect(made.names).toEqual({ crop: { Plum: "+" } });
  expect(named(made, { ...PLUM, said: "Fig" }, "fig").names).toEqual({
    crop: { Plum: "+", Fig: "fig" },
  });
  expect(named(made, PLUM, "bay").names).toEqual({ crop: { Plum: "bay" } });
  expect(named(made, PLUM, "").names).toEqual({ crop: {} });
});

test("a name that was said something of stays open to be changed", () => {
  const said = named(named(NOTHING_SAID, PLUM, ADD), { ...PLUM, column: "place" }, "shade");
  expect(answered(said)).toEqual([
    { ...PLUM, rows: 0 },
    { ...PLUM, column: "place", rows: 0, made: false },
  ]);
});

test("what is said travels in the address, and what is not said does not", () => {
  const bare = new URLSearchParams(query(NOTHING_SAID, "a b.csv"));
  expect(bare.get("name")).toBe("a b.csv");
  expect(JSON.parse(bare.get("choices") ?? "")).toEqual({ columns: {}, names: {}, left_out: 0 });
  const whole = { ...NOTHING_SAID, order: "day_first" as const, sheet: "Stock" };
  const told = new URLSearchParams(query(whole, "a.xlsx", { seal: "ab" }));
  expect(told.get("seal")).toBe("ab");
  expect(JSON.parse(told.get("choices") ?? "")).toMatchObject({
    order: "day_first",
    sheet: "Stock",
  });
});

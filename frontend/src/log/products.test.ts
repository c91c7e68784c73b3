import { describe, expect, test } from "vitest";
import { entry } from "../testing/entries";
import { again, inUse, mixOf, rowOf, sameName, tooShort, type ProductBody } from "./products";

const row = (id: string, body: Partial<ProductBody>) => ({
  id,
  rev: 1,
  body: { name: "Oil and soap", ...body },
});
const SOAP = row("soap", { interval_days: 10, reentry_hours: 12 });
const COPPER = row("copper", { name: "Copper", interval_days: 10 });
const ROWS = [SOAP, COPPER];
const dayOf = (at: string): string => at.slice(0, 10);

describe("a record names its product", () => {
  test.each([
    ["soap", "soap"],
    ["Oil and soap", "soap"],
    [" oil  AND soap", "soap"],
    ["Oil", null],
    ["", null],
  ])("%j", (said, id) => {
    expect(rowOf(said, ROWS)?.id ?? null).toBe(id);
  });

  test("of two rows with one name the first by id is meant, and an id stands above a name", () => {
    const both = [row("soap-2", {}), SOAP, row("x", { name: "soap-2" })];
    expect(rowOf("oil and soap", both)?.id).toBe("soap");
    expect(rowOf("soap-2", both)?.id).toBe("soap-2");
    expect(sameName("Oil and soap", "oil and  Soap ")).toBe(true);
  });
});

test.each([
  [0.2, 200],
  [0.0333, 33.3],
  [null, null],
])("%s litres on a square metre are %s millilitres", (litres, mix) => {
  expect(mixOf({ name: "x", litres_per_m2: litres })).toBe(mix);
});

test("rows hold from their first day to their last", () => {
  const rows = [
    row("always", {}),
    row("from", { since: "2031-05-17" }),
    row("later", { since: "2031-05-18" }),
    row("to", { until: "2031-05-17" }),
    row("over", { until: "2031-05-16" }),
  ];
  expect(inUse(rows, "2031-05-17").map(({ id }) => id)).toEqual(["always", "from", "to"]);
});

test.each([
  [12, 11.9, 12],
  [12, 12, null],
  [12, null, null],
  [undefined, 1, null],
])("a row of %s h and a record of %s h: %s", (wants, hours, says) => {
  const one = row("one", wants === undefined ? {} : { reentry_hours: wants });
  expect(tooShort(one, hours)).toBe(says);
  expect(tooShort(null, hours)).toBeNull();
});

describe("the same product again", () => {
  const treated = (id: number, on: string, product = "Oil and soap") =>
    entry({
      id,
      kind: "treated",
      body: {
        product,
        started_at: `${on}T06:30:00.000Z`,
        ended_at: `${on}T06:50:00.000Z`,
      },
    });
  const told = [treated(1, "2031-05-01"), treated(2, "2031-05-17"), treated(3, "2031-05-30")];
  const soon = (on: string, one = SOAP, entries = told) =>
    again(one, `${on}T07:30:00.000Z`, entries, ROWS, dayOf);

  test.each([
    ["2031-05-26", { days: 9, needed: 10, on: "2031-05-27" }],
    ["2031-05-17", { days: 0, needed: 10, on: "2031-05-27" }],
    ["2031-05-27", null],
    ["2031-04-30", null],
    ["2031-05-31", { days: 1, needed: 10, on: "2031-06-09" }],
  ])("on %s", (on, says) => {
    expect(soon(on)).toEqual(says);
  });

  test("counts what names the row by its id, and no other product", () => {
    expect(soon("2031-05-18", SOAP, [treated(1, "2031-05-17", "soap")])?.days).toBe(1);
    expect(soon("2031-05-18", COPPER)).toBeNull();
  });

  test("is no matter where the row wants no days, or where there is no row", () => {
    expect(soon("2031-05-18", row("soap", {}))).toBeNull();
    expect(again(null, "2031-05-18T07:30:00.000Z", told, ROWS, dayOf)).toBeNull();
  });
});

import { expect, test } from "vitest";
import { entry, instant, type Raw } from "../testing/entries";
import { forgotten, purposes, visitorName, visitors, visits } from "./visits";

const VET = { name: "Ola Brun", firm: "Plant Health Service" };
const went = (id: number, kind: string, body: object, more: Partial<Raw> = {}): Raw => ({
  ...{ id, kind, about: ["r-1"], body: body as Record<string, unknown> },
  ...more,
});
const DAY = [
  went(1, "entered", { purpose: "round", hygiene: ["hands"] }),
  went(2, "entered", { visitor: VET, purpose: "inspection" }),
  went(3, "left", {}),
  went(4, "entered", { person: "p-2", purpose: "" }),
  went(5, "entered", { person: "p-2" }),
  went(6, "left", { person: "p-3" }),
  went(7, "left", { visitor: VET }),
  went(8, "noted", { text: "x" }),
  went(9, "entered", { visitor: { name: "Ola Brun" }, purpose: "round" }),
].map(entry);

test("visits are told with their ends, the latest first", () => {
  expect(visits(DAY).map(({ who, until, purpose }) => [who, until, purpose])).toEqual([
    ["Ola Brun", null, "round"],
    ["p-2", null, null],
    ["p-2", instant(5), null],
    ["Ola Brun, Plant Health Service", instant(7), "inspection"],
    ["p-1", instant(3), "round"],
  ]);
});

test("two ways in of one minute are both told", () => {
  const apart = [
    went(1, "entered", {}, { at: 5 }),
    went(2, "entered", { person: "p-2" }, { at: 5 }),
  ].map(entry);
  expect(visits(apart)).toHaveLength(2);
});

test("a visitor is offered once, by name and firm", () => {
  const all = visits(DAY);
  expect(visitors(all, 5).map(visitorName)).toEqual(["Ola Brun", visitorName(VET)]);
  expect(visitors(all, 1)).toHaveLength(1);
});

test("what people went in for is offered, what was said last first", () => {
  expect(purposes(visits(DAY), 5)).toEqual(["round", "inspection"]);
});

const NOON = { day: "2031-03-03", hour: "12:00" };

test.each([
  ["in the afternoon nobody is asked about", { ...NOON, hour: "15:00" }, false],
  ["in the evening who is inside is asked about", { ...NOON, hour: "17:30" }, true],
  ["on another day in any case", { day: "2031-03-04", hour: "06:00" }, true],
])("%s", (_, now, asked) => {
  expect(forgotten(NOON, now)).toBe(asked);
});

test("who went in for the night is not asked about before the day is over", () => {
  expect(forgotten({ ...NOON, hour: "18:00" }, { ...NOON, hour: "20:00" })).toBe(false);
});

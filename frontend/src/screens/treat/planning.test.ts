import { expect, test } from "vitest";
import type { Instant } from "../../log/entry";
import { plannedOf, tooFull } from "./planning";

const dayOf = (instant: string): string => instant.slice(0, 10);
const rest = (emptied: string | null, cleaned: string | null) => ({
  emptiedAt: emptied as Instant | null,
  cleanedAt: cleaned as Instant | null,
  readiedAt: null,
});
const CLEANED = rest("2031-11-25T06:00:00.000Z", "2031-11-26T06:00:00.000Z");

test("nothing is written of people and orders that nobody named", () => {
  expect(plannedOf("watering", "2031-05-18", null, 0, ["q-room"])).toEqual({
    ...{ kind: "booked", about: ["q-room"], body: { act: "watering", on: "2031-05-18" } },
  });
  expect(plannedOf("treatment", "2031-05-27", "Q-09", 2, ["b-1"]).body).toEqual({
    ...{ act: "treatment", on: "2031-05-27", people: 2, order: "Q-09" },
  });
  const hands = { product: "Oil and soap", operator: "p-1" };
  expect(plannedOf("treatment", "2031-05-27", null, 0, ["b-1"], hands).body).toEqual({
    ...{ act: "treatment", on: "2031-05-27", product: "Oil and soap", operator: "p-1" },
  });
});

test.each([
  ["a room that need not rest", rest(null, null), null, "2031-11-27", null],
  ["a room that nobody cleaned", rest(CLEANED.emptiedAt, null), 168, "2031-12-30", "no"],
  ["the day before it has rested", CLEANED, 168, "2031-12-02", "wait"],
  ["the day on which it has", CLEANED, 168, "2031-12-03", null],
] as const)("new plants are planned: %s", (_, state, hours, on, answer) => {
  const against = tooFull(state, hours, on, dayOf);
  expect(against?.verdict.answer ?? null).toBe(answer);
  if (answer === "wait") expect(against?.from).toBe("2031-12-03");
});

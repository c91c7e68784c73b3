import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { endOf, instantAt } from "../screens/day";
import { amounts, hoursOf, oddSpell, reentry, spellOf, type Hours } from "./spell";

const ORRIN = "Etc/GMT-10";
const there = (zone: string) => (day: string, hour: string) => instantAt(day, hour, zone);
const at = there(ORRIN);
const hours = (more: Partial<Hours>): Hours => ({
  ...{ day: "2031-05-17", sign: "16:20", start: "16:30", end: "16:50" },
  ...more,
});

describe("the hours of a treatment", () => {
  test("of the story: signed, begun and ended on one afternoon", () => {
    expect(spellOf(hours({}), at)).toEqual({
      signAt: "2031-05-17T06:20:00.000Z",
      startedAt: "2031-05-17T06:30:00.000Z",
      endedAt: "2031-05-17T06:50:00.000Z",
    });
  });

  test("go on past midnight, and the sign may be of the evening before", () => {
    const late = spellOf(hours({ sign: "23:10", start: "23:40", end: "00:15" }), at);
    expect([late.signAt, late.endedAt]).toEqual([
      at("2031-05-17", "23:10"),
      at("2031-05-18", "00:15"),
    ]);
    const early = spellOf(hours({ sign: "23:50", start: "00:10", end: "00:30" }), at);
    expect(early.signAt).toEqual(at("2031-05-16", "23:50"));
  });

  test("are open where nobody has said them", () => {
    expect(spellOf(hours({ sign: "", start: "", end: "16:50" }), at)).toEqual({
      signAt: null,
      startedAt: null,
      endedAt: null,
    });
    expect(spellOf(hours({ sign: "16:20", start: "", end: "" }), at).signAt).toBe(
      at("2031-05-17", "16:20"),
    );
  });

  test.each([
    [hours({}), null],
    [hours({ sign: "16:40" }), "sign_late"],
    [hours({ sign: "", end: "16:20" }), "long"],
    [hours({ start: "", end: "", sign: "" }), null],
    [hours({ end: "" }), null],
    [hours({ day: "2031-05-20" }), "ahead"],
    [hours({ day: "2031-05-20", end: "" }), "ahead"],
  ])("%j are asked about: %s", (given, odd) => {
    const now = endOf("2031-05-18", ORRIN);
    expect(oddSpell(spellOf(given, at), now)).toBe(odd);
  });
});

describe("re-entry", () => {
  test.each([
    ["twelve hours over midnight", ORRIN, "2031-05-17", "16:50", 12, "2031-05-18", "04:50"],
    ["over the leap of spring", "Europe/Berlin", "2031-03-29", "20:00", 12, "2031-03-30", "09:00"],
    ["over that of autumn", "Europe/Berlin", "2031-10-25", "20:00", 12, "2031-10-26", "07:00"],
    ["of half an hour", ORRIN, "2031-05-17", "23:45", 0.5, "2031-05-18", "00:15"],
  ])("%s", (_, zone, day, hour, long, on, until) => {
    const ended = there(zone)(day, hour);
    const opens = reentry(ended, long);
    expect(opens).toBe(there(zone)(on, until));
    expect(hoursOf(ended, opens)).toBe(long);
  });

  test("that nobody wrote has no hours", () => {
    expect(hoursOf("2031-05-17T06:50:00.000Z", null)).toBeNull();
  });
});

interface Case {
  readonly name: string;
  readonly area_m2: number | null;
  readonly mix: number | null;
  readonly per_litre: number | null;
  readonly litres: number | null;
  readonly product: number | null;
}

const CASES = JSON.parse(readFileSync("../tests/vectors/amounts.json", "utf8")) as Case[];

test.each(CASES)("amounts: $name", ({ area_m2: m2, mix, per_litre: per, litres, product }) => {
  expect(amounts(m2, mix, per)).toEqual({ litres, product });
});

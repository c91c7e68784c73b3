// @vitest-environment jsdom
import { beforeAll, describe, expect, test } from "vitest";
import { speech } from "../../parts/speech.svelte";
import { furthest, slip, stretches } from "./delays";
import { axisOf, bedOf, fanOf, measuresOf, missed, ringsOf, stretchesOf } from "./drawn";
import { DELAYS, ITEM, SEASON, TODAY } from "./fixture";
import { best, daysOf, laid, oddsOn, ofHundred } from "./odds";
import type { Code, Delay, Item, Odds, Readiness } from "./shapes";
import { brief, costs, costsMoney, facts, howLong, lost, readiness, spelled } from "./telling";

beforeAll(async () => {
  await speech.speak("en");
  speech.house = { zone: "Etc/GMT-10", mark: ".", today: TODAY };
});

const COST = (total: number) => ({ plants: total, hours: 0, pots: 0, total });

function delay(weeks: number, code: Code, more: Partial<Delay> = {}): Delay {
  const plain = { free_on: null, plant_on: null, odds: null, days_left: null };
  return { weeks, code, ...plain, seasons: 0, pots_full_weeks: null, cost: null, ...more };
}

describe("what a delay costs", () => {
  const told = (delays: readonly Delay[]) =>
    stretches(delays).map((one) => `${howLong(one)}: ${costs(one)}`);

  test("is told by weeks that mean the same", () => {
    expect(told(DELAYS)).toEqual([
      "up to 10 weeks: nothing",
      "11 to 14 weeks: fewer days to plant, 3 left at last",
      "15 weeks and more: 1 season, to FRI 1 OCT 2032",
    ]);
  });

  test.each<[string, readonly Delay[], readonly string[]]>([
    ["nothing where nothing was worked out", [], []],
    ["nothing of no delay alone", [delay(0, "nothing")], []],
    [
      "one line where all weeks cost the same",
      [delay(0, "nothing"), delay(1, "season", { seasons: 1 }), delay(2, "season", { seasons: 1 })],
      ["any delay: 1 season"],
    ],
    [
      "one season apart from two",
      [
        delay(1, "nothing"),
        delay(2, "season", { seasons: 1, plant_on: "2032-03-01" }),
        delay(3, "season", { seasons: 2, plant_on: "2032-10-01" }),
      ],
      [
        "up to 1 week: nothing",
        "2 weeks: 1 season, to MON 1 MAR 2032",
        "3 weeks and more: 2 seasons, to FRI 1 OCT 2032",
      ],
    ],
    [
      "that it cannot be told, as such",
      [delay(0, "cannot_tell"), delay(1, "cannot_tell")],
      ["any delay: cannot tell"],
    ],
    [
      "weeks in their order, however they come",
      [delay(2, "season", { seasons: 1 }), delay(1, "nothing"), delay(0, "nothing")],
      ["up to 1 week: nothing", "2 weeks and more: 1 season"],
    ],
    [
      "days only where they are known",
      [delay(1, "fewer_days"), delay(2, "nothing")],
      ["up to 1 week: fewer days to plant", "2 weeks and more: nothing"],
    ],
  ])("tells %s", (_, delays, wanted) => {
    expect(told(delays)).toEqual(wanted);
  });

  test.each([
    [[delay(1, "nothing")], [null]],
    [[delay(1, "nothing", { cost: COST(0) })], [null]],
    [[delay(1, "nothing", { cost: COST(40.4) })], ["40 in money"]],
    [
      [delay(1, "nothing", { cost: COST(40) }), delay(2, "nothing", { cost: COST(81) })],
      ["40–81 in money"],
    ],
  ])("in money is told where figures were typed: %#", (delays, wanted) => {
    expect(stretches(delays).map((one) => costsMoney(one))).toEqual(wanted);
  });
});

describe("if release slips by", () => {
  const asked = (weeks: number, delays = DELAYS): string => {
    const found = slip(delays, weeks);
    return found ? lost(found) : "";
  };

  test.each([
    [3, "3 weeks later cost nothing: planted on MON 1 MAR 2032 all the same."],
    [1, "1 week later costs nothing: planted on MON 1 MAR 2032 all the same."],
    [12, "12 weeks later cost days: 17 are left to plant in instead of 31."],
    [15, "15 weeks later cost 1 season: planted on FRI 1 OCT 2032 instead of MON 1 MAR 2032."],
    [99, ""],
  ])("%i weeks", (weeks, wanted) => {
    expect(asked(weeks)).toBe(wanted);
  });

  test.each<[string, Delay, Delay, string]>([
    [
      "a later day in the same weeks",
      delay(0, "nothing", { plant_on: "2032-03-01" }),
      delay(3, "nothing", { plant_on: "2032-03-08" }),
      "3 weeks later cost no season: planted on MON 8 MAR 2032 instead of MON 1 MAR 2032.",
    ],
    [
      "no later weeks set",
      delay(0, "nothing", { plant_on: "2032-03-01" }),
      delay(3, "season", { seasons: 2 }),
      "3 weeks later cost 2 seasons.",
    ],
    [
      "seasons that are lost already are not lost again",
      delay(0, "season", { seasons: 1, plant_on: "2032-03-01" }),
      delay(3, "season", { seasons: 2, plant_on: "2032-10-01" }),
      "3 weeks later cost 1 season: planted on FRI 1 OCT 2032 instead of MON 1 MAR 2032.",
    ],
    [
      "nothing known",
      delay(0, "cannot_tell"),
      delay(3, "cannot_tell"),
      "What 3 weeks later cost cannot be said: planting weeks or the day of release are missing.",
    ],
  ])("weeks with %s", (_, before, after, wanted) => {
    expect(asked(3, [before, after])).toBe(wanted);
  });

  test("the figures stand side by side, and what nobody knows is left out", () => {
    const found = slip(DELAYS, 15);
    expect(found && facts(found).map(({ says, before, after }) => [says, before, after])).toEqual([
      ["free to plant", "SUN 23 NOV", "SUN 7 MAR 2032"],
      ["planting day", "MON 1 MAR 2032", "FRI 1 OCT 2032"],
      ["seasons lost", "0", "1"],
      ["days left to plant in", "31", "46"],
      ["odds, of 100", "90", "85"],
      ["weeks with full pots before", "5", "5"],
    ]);
    const unknown = slip([delay(0, "cannot_tell"), delay(3, "cannot_tell")], 3);
    expect(unknown && facts(unknown).map(({ says }) => says)).toEqual(["seasons lost"]);
  });

  test("money has a line for each part where figures were typed", () => {
    const cost = { plants: 120, hours: 30.6, pots: 0, total: 150.6 };
    const found = slip([delay(0, "nothing"), delay(3, "season", { seasons: null, cost })], 3);
    expect(found && facts(found).map(({ says, before, after }) => [says, before, after])).toEqual([
      ["seasons lost", "0", "cannot tell"],
      ["plants lost, in money", "cannot tell", "120"],
      ["hours of care, in money", "cannot tell", "31"],
      ["new pots, in money", "cannot tell", "0"],
      ["all of it, in money", "cannot tell", "151"],
    ]);
  });

  test("no more weeks can be asked than were worked out", () => {
    expect([furthest(DELAYS), furthest([])]).toEqual([26, 0]);
  });
});

describe("odds", () => {
  const ODDS: Odds = {
    ...{ follow_up_days: 183, years: 30, without: [], windows: [] },
    days: ["12-31", "01-01", "02-29"].map((day, i) => ({
      day,
      ...{ score: [0.4, null, 0.9][i] ?? null, low: [0.2, null, 0.8][i] ?? null, high: 1 },
      ...{ wet: 1, holds: 1, stress_days: 0, hot_days: 0, windy_days: null, years: 30 },
    })),
  };

  test("run on over the turn of the year, with gaps where they are not known", () => {
    const { line, band } = laid(ODDS, { from: "2031-12-31", to: "2032-01-02" });
    expect(line.map(({ y }) => y)).toEqual([40, null, null]);
    expect(band.map(({ low }) => low)).toEqual([20, null, null]);
  });
  test("of a day are those of its day of the year", () => {
    expect(ofHundred(oddsOn(ODDS, "2032-02-29")?.score ?? null)).toBe(90);
    expect(oddsOn(ODDS, "2032-06-01")).toBeNull();
  });
  test("are best on the first of the best days; nowhere, where none is known", () => {
    expect(best(ODDS, { from: "2031-12-30", to: "2032-03-01" })?.day).toBe("2032-02-29");
    expect(best(ODDS, { from: "2031-06-01", to: "2031-07-01" })).toBeNull();
  });
  test("an axis that ends before it begins has no day", () => {
    expect(daysOf({ from: "2032-01-02", to: "2031-01-01" })).toEqual([]);
  });
});

describe("the axis and the bed", () => {
  const drawn = (item: Item) =>
    bedOf(item, SEASON.weeks, axisOf(item, TODAY), TODAY).parts.map(
      ({ what, start, end }) => `${what} ${start} ${end}`,
    );

  test("hold everything from the month before to behind the planting weeks", () => {
    expect(axisOf(ITEM, TODAY)).toEqual({ from: "2031-06-01", to: "2032-04-30" });
    const far = { ...ITEM, weeks: { first: "2034-03-01", last: "2034-03-31" } };
    expect(axisOf(far, TODAY).to).toBe("2033-01-20");
  });
  test("go from quarantine over toughening to the field", () => {
    expect(drawn(ITEM)).toEqual([
      "quarantine 2031-06-01 2031-11-23",
      "grow 2031-11-23 2032-02-04",
      "toughen 2032-02-04 2032-03-01",
      "field 2032-03-01 2032-03-31",
    ]);
  });
  test("tell since when plants are toughened that stand in the sun already", () => {
    const out = { ...ITEM, clock: null, toughening_since: "2031-07-10" };
    const toughened = ["grow 2031-06-01 2031-07-10", "toughen 2031-07-10 2032-03-01"];
    expect(drawn(out).slice(0, 2)).toEqual(toughened);
  });
  test("have no place for what happened before the axis begins", () => {
    const before = { ...ITEM, pots_full_on: "2031-05-01" };
    const clock = { earliest: "2031-05-01", notice_from: null, released: true, if: false };
    const bed = bedOf({ ...before, clock }, SEASON.weeks, axisOf(ITEM, TODAY), TODAY);
    expect([bed.release, bed.full]).toEqual([null, null]);
  });
  test("draw nothing that nobody knows", () => {
    const unknown = { ...ITEM, clock: null, free_on: null, plant_on: null, weeks: null };
    expect(drawn(unknown)).toEqual([`grow 2031-06-01 ${TODAY}`]);
    const open = { earliest: null, notice_from: null, released: false, if: true };
    expect(drawn({ ...unknown, clock: open })).toEqual([`quarantine 2031-06-01 ${TODAY}`]);
    expect(drawn({ ...unknown, began_on: null })).toEqual([]);
  });
  test("board up the weeks that it comes too late for", () => {
    expect(missed(ITEM, SEASON.weeks, TODAY).map(({ first }) => first)).toEqual(["2031-10-01"]);
    expect(missed({ ...ITEM, plant_on: null, free_on: null }, SEASON.weeks, TODAY)).toEqual([]);
    const found = stretchesOf(ITEM, SEASON.weeks, TODAY, axisOf(ITEM, TODAY), (_, what) => what);
    expect(found.map(({ says, lost }) => [says, lost])).toEqual([
      ["lost", true],
      ["plant", false],
    ]);
  });
});

describe("readiness", () => {
  const READY: Readiness = ITEM.readiness;
  const NAMES = { measured: "m", middle: "f", low: "l", high: "h" };

  test.each<[Partial<Readiness>, string]>([
    [{}, "Big enough about 10 JAN 2032, between 4 DEC and 20 FEB 2032."],
    [
      { day: null, late: null },
      "Big enough from 4 DEC on at the earliest; the latest day cannot be said.",
    ],
    [{ early: null }, "When they are big enough cannot be said."],
    [{ state: "ready" }, "Big enough to plant."],
    [{ state: "waiting" }, "When they are big enough is being worked out."],
    [
      { state: "not_enough" },
      "Not enough measurements to say when they are big enough. Measure the same plants again.",
    ],
    [
      { state: "no_prior" },
      "Nothing is known of how this crop grows. Write it in the crop's profile, or measure more often.",
    ],
    [
      { state: "no_minimum" },
      "Nobody has said how big this crop must be to plant. Write it in the crop's profile.",
    ],
  ])("of %o is told", (more, wanted) => {
    expect(readiness({ ...READY, ...more })).toBe(wanted);
  });

  test("is drawn by measures that have a figure, as points and a fan", () => {
    expect(measuresOf(READY)).toEqual(["height_cm"]);
    expect(measuresOf({ ...READY, fan: {}, measured: [] })).toEqual([]);
    expect(fanOf(READY, "height_cm", NAMES).map(({ name }) => name)).toEqual(["m", "f", "h", "l"]);
    expect(fanOf(READY, "collar_mm", NAMES).map(({ points }) => points.length)).toEqual([0]);
  });

  test("has rings where the smallest size is reached, on the axis alone", () => {
    const span = axisOf(ITEM, TODAY);
    const rings = (more: Partial<Readiness>, measure = "height_cm") =>
      ringsOf({ ...READY, ...more }, measure, span, (what) => what).map(({ says }) => says);
    expect(rings({})).toEqual(["day", "late"]);
    expect(rings({ late: "2040-01-01" })).toEqual(["day"]);
    expect(rings({ state: "not_enough" })).toEqual([]);
    expect(rings({}, "collar_mm")).toEqual([]);
  });
});

test.each([
  ["2032-03-01", "2032-03-31", "1–31 MAR 2032"],
  ["2031-10-01", "2031-11-15", "1 OCT–15 NOV"],
  ["2032-10-01", "2032-11-15", "1 OCT–15 NOV 2032"],
  ["2031-12-20", "2032-01-10", "20 DEC–10 JAN 2032"],
  ["03-01", "03-28", "1–28 MAR"],
])("%s to %s is spelled %s", (first, last, wanted) => {
  expect(spelled(first, last)).toBe(wanted);
});

test("weeks over a chart are spelled without a year", () => {
  expect(brief("2032-03-01", "2032-03-31")).toBe("1–31 MAR");
});

// @vitest-environment jsdom
import { beforeAll, describe, expect, test } from "vitest";
import { speech } from "../../parts/speech.svelte";
import { stretches } from "./delays";
import { DELAYS, ITEM, TODAY } from "./fixture";
import type { Readiness } from "./shapes";
import { potsFull, readiness, setBy, waysOut } from "./telling";

beforeAll(async () => {
  await speech.speak("en");
  speech.house = { zone: "Etc/GMT-10", mark: ".", today: TODAY };
});

describe("full pots", () => {
  /** What is told of weeks that cost the same, by how long pots are full after each. */
  const told = (...weeks: (number | null)[]): (string | null)[] =>
    stretches(
      DELAYS.slice(11, 11 + weeks.length).map((one, i) => ({
        ...one,
        pots_full_weeks: weeks[i] ?? null,
      })),
    ).map(potsFull);

  test("stand beside the weeks of a delay, from so long to so long", () => {
    expect(told(5, 5)).toEqual(["pots full 5 weeks before planting"]);
    expect(told(0, 1)).toEqual(["pots full 0 to 1 weeks before planting"]);
    expect(told(1)).toEqual(["pots full 1 week before planting"]);
  });

  test("are not told where there are none, or where nobody knows", () => {
    expect(told(0, 0)).toEqual([null]);
    expect(told(null)).toEqual([null]);
  });

  test("have their ways out, by consent where the law holds the plants", () => {
    const free = "Ways out of full pots: a bigger pot, later potting, or pull plugs.";
    expect(waysOut(ITEM)).toMatch(/later potting with the authority's consent/);
    expect(waysOut({ clock: null })).toBe(free);
    expect(waysOut({ clock: ITEM.clock && { ...ITEM.clock, released: true } })).toBe(free);
  });
});

test("weeks set by hand tell who set them and when, as far as it is known", () => {
  expect(setBy(46, { set_by: "G", set_on: "2031-02-28" })).toBe("46 days, G, 28 FEB");
  expect(setBy(46, { set_by: "G" })).toBe("46 days, G");
  expect(setBy(1, { set_by: null, set_on: "2031-02-28" })).toBe("1 day");
});

describe("a forecast", () => {
  const tells = (more: Partial<Readiness>) => readiness({ ...ITEM.readiness, ...more });
  const usual_curves = ["height_cm", "nodes"];

  test.each(["forecast", "ready"] as const)(
    "that is %s says which curve is from memory",
    (state) => {
      expect(tells({ state, usual_curves })).toBe(
        `${tells({ state })} Curve from memory: height in cm and nodes.`,
      );
    },
  );

  test("of the crop's own curve, or that is none, says nothing of a curve", () => {
    expect(tells({ usual_curves: [] })).not.toMatch(/memory/);
    expect(tells({ state: "not_enough", usual_curves })).not.toMatch(/memory/);
  });
});

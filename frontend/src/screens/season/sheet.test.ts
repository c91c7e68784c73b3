// @vitest-environment jsdom
import "fake-indexeddb/auto";
import { cleanup, fireEvent, render, screen, within } from "@testing-library/svelte";
import { afterEach, beforeAll, beforeEach, describe, expect, test, vi } from "vitest";
import { speech } from "../../parts/speech.svelte";
import { forget, kept } from "../../shelf/kept";
import { book } from "../book.svelte";
import { DELAYS, ITEM, SEASON, WEATHER } from "./fixture";
import SeasonSheet from "./Season.svelte";
import type { Item, Season } from "./shapes";

const NURSERY = { id: "n", name: "Veshmere", zone: "Etc/GMT-10" };

beforeAll(async () => {
  vi.stubGlobal(
    "ResizeObserver",
    class {
      observe = vi.fn();
      unobserve = vi.fn();
      disconnect = vi.fn();
    },
  );
  await speech.speak("en");
  speech.house = { zone: NURSERY.zone, mark: ".", today: SEASON.today };
});
beforeEach(() => {
  book.who = { name: "G", role: "grower", person: "p", nursery: NURSERY };
});
afterEach(async () => {
  cleanup();
  vi.restoreAllMocks();
  book.who = null;
  await forget();
});

/** Open the sheet at an office that tells this. */
async function opens(told: Season, id = ""): Promise<void> {
  vi.spyOn(book, "ask").mockResolvedValue({ ok: true, data: told });
  render(SeasonSheet, { id, term: "" });
  await screen.findAllByRole("heading", { level: 2 });
}

const withItem = (more: Partial<Item>): Season => ({ ...SEASON, items: [{ ...ITEM, ...more }] });

test("the three weeks are answered before anybody asks, and others by a tap", async () => {
  await opens(SEASON);
  const answer = "3 weeks later cost nothing: planted on MON 1 MAR 2032 all the same.";
  expect(screen.getByText(answer)).toBeTruthy();
  const tally = within(screen.getByRole("group", { name: "Weeks later" }));
  const later = tally.getByRole("button", { name: /^4 more/ });
  await fireEvent.click(later);
  await fireEvent.click(later);
  await fireEvent.click(later);
  expect(
    screen.getByText(
      "15 weeks later cost 1 season: planted on FRI 1 OCT 2032 instead of MON 1 MAR 2032.",
    ),
  ).toBeTruthy();
  expect(screen.getByText("In money: type the cost of a plant, an hour and a pot.")).toBeTruthy();
});

test("full pots stand below the weeks, and the ways out of them once", async () => {
  await opens(SEASON);
  const [note] = screen.getAllByText("pots full 5 weeks before planting");
  expect(note?.parentElement?.querySelector("dt")?.textContent).toBe("up to 10 weeks");
  expect(screen.getAllByText(/^Ways out of full pots:/)).toHaveLength(1);
  cleanup();
  await forget();
  await opens(withItem({ delays: DELAYS.map((one) => ({ ...one, pots_full_weeks: 0 })) }));
  expect(screen.queryByText(/^Ways out of full pots:/)).toBeNull();
});

test.each([
  ["2032-01-26", "Pots full about 26 JAN 2032"],
  ["2031-05-01", "Pots full about 1 MAY"],
  [null, null],
])(
  "pots that are full on %j are told above the bed, wherever its axis begins",
  async (on, told) => {
    await opens(withItem({ pots_full_on: on }));
    expect(screen.queryByText(/^Pots full about/)?.textContent ?? null).toBe(told);
  },
);

test("money stands beside the weeks where its figures were typed", async () => {
  const cost = { plants: 100, hours: 20, pots: 3, total: 123 };
  await opens({ ...withItem({ delays: DELAYS.map((one) => ({ ...one, cost })) }), currency: "kr" });
  expect(screen.getByText("up to 10 weeks").nextElementSibling?.textContent).toBe(
    "nothing; 123 kr",
  );
  expect(screen.queryByText(/^In money:/)).toBeNull();
});

test("the odds of a day fall into their parts, and another day is a tap away", async () => {
  await opens(SEASON);
  const line = (head: string): string | null | undefined =>
    screen.getByText(head, { selector: "dt" }).nextElementSibling?.textContent;
  expect(line("odds")).toBe("89 of 100");
  expect(line("wet deep enough")).toBe("27 of 30 years");
  expect(line("thirst")).toBe("12.3 of 183 days");
  expect(line("wind")).toBe("not on record");
  const tally = within(screen.getByRole("group", { name: "Planting day" }));
  await fireEvent.click(tally.getByRole("button", { name: /^7 more/ }));
  expect(screen.getByText("MON 8 MAR 2032")).toBeTruthy();
});

describe("what is missing is said in words", () => {
  test.each<[string, Season, string | RegExp]>([
    ["no weather", { ...SEASON, weather: null, odds: null }, /^No weather has been read in\./],
    [
      "few years",
      { ...SEASON, weather: { ...WEATHER, years: 7, enough: false }, odds: null },
      /^7 years of weather, Veshmere, invented\. Ten years make odds/,
    ],
    [
      "rain alone",
      { ...SEASON, weather: { ...WEATHER, enough: false, lacks_warmth: true }, odds: null },
      /^Veshmere, invented has rain, but not ten years of lows and highs\./,
    ],
    [
      "no site",
      { ...SEASON, odds: null, site: false },
      /^Nobody has said what soil and hole are here\./,
    ],
    [
      "a sheet that was never worked out",
      { ...SEASON, weather: null, odds: null, stale: true },
      /^The odds are being worked out\./,
    ],
    [
      "odds that are not worked out yet",
      { ...SEASON, odds: null },
      /^The odds are being worked out\./,
    ],
    ["invented weather", SEASON, /^This weather is invented\./],
    ["what is being worked out", { ...SEASON, stale: true }, /^Worked out up to record 412\./],
    [
      "no planting weeks",
      withItem({ weeks: null, plant_on: null, delays: [] }),
      "No planting weeks are set, so nobody can say when it is planted.",
    ],
    [
      "no day on which it is free",
      withItem({ weeks: null, plant_on: null, free_on: null, delays: [] }),
      "Nobody can say yet when it is free to plant.",
    ],
    [
      "no delays",
      withItem({ delays: [] }),
      "What a delay costs cannot be said: planting weeks or the day it is free are missing.",
    ],
    [
      "too few measurements",
      withItem({ readiness: { ...ITEM.readiness, state: "not_enough", fan: {} } }),
      /Not enough measurements to say when they are big enough\./,
    ],
    [
      "no prior, nothing measured",
      withItem({ readiness: { ...ITEM.readiness, state: "no_prior", fan: {}, measured: [] } }),
      /^Nothing is known of how this crop grows\./,
    ],
    [
      "no rate of work, no block, nobody booked",
      withItem({
        blocks: [],
        labour: { plants: 214, per_person_day: null, person_days: null, booked: [] },
      }),
      "Nobody has said how many one person plants in a day.",
    ],
    ["nothing for the field", { ...SEASON, items: [] }, /^Nothing here waits for the field\./],
  ])("%s", async (_, told, words) => {
    await opens(told);
    expect(screen.getAllByText(words).length).toBeGreaterThan(0);
  });

  test("what is no longer there", async () => {
    await opens(SEASON, "con-9");
    expect(screen.getByText("This is no longer in the season. Choose another.")).toBeTruthy();
  });
});

test("what was read last stays to be read, with its age, where the office does not answer", async () => {
  await opens(SEASON);
  await vi.waitFor(async () => {
    expect(await kept("season")).not.toBeNull();
  });
  cleanup();
  vi.spyOn(book, "ask").mockResolvedValue({ ok: false, trouble: { why: "offline" } });
  render(SeasonSheet, { id: "", term: "" });
  expect(await screen.findByRole("heading", { level: 1, name: "Season, CQ-118" })).toBeTruthy();
  expect(screen.getByRole("heading", { name: "What a delay costs" })).toBeTruthy();
  expect(
    await screen.findByText(/^No signal\. What this phone kept, from .+\d\d:\d\d\.$/),
  ).toBeTruthy();
});

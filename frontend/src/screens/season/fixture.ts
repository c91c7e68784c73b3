/** A season as the office tells it, for tests: that of the demo's end of July. */
import { dayAfter, daysOf } from "./odds";
import type { Delay, Item, Season, Weather } from "./shapes";

export const TODAY = "2031-07-30";

function delay(weeks: number): Delay {
  const free = dayAfter("2031-11-23", weeks * 7);
  const common = { weeks, free_on: free, pots_full_weeks: 5, cost: null };
  if (weeks <= 10)
    return {
      ...common,
      ...{ plant_on: "2032-03-01", seasons: 0, odds: 0.9, days_left: 31, code: "nothing" },
    };
  if (weeks <= 14) {
    const left = 31 - (weeks - 10) * 7;
    const plant = dayAfter("2032-03-01", (weeks - 10) * 7);
    return {
      ...common,
      ...{ plant_on: plant, seasons: 0, odds: 0.8, days_left: left, code: "fewer_days" },
    };
  }
  return {
    ...common,
    ...{ plant_on: "2032-10-01", seasons: 1, odds: 0.85, days_left: 46, code: "season" },
  };
}

export const DELAYS = Array.from({ length: 27 }, (_, weeks) => delay(weeks));

export const ITEM: Item = {
  id: "con-1",
  batches: ["b-1", "b-2"],
  began_on: "2031-03-03",
  kind: "consignment",
  name: "CQ-118",
  crop: "finger-lime",
  alive: 243,
  holes: 214,
  clock: {
    earliest: "2031-11-23",
    notice_from: "2031-11-26",
    released: false,
    if: true,
  },
  free_on: "2031-11-26",
  plant_on: "2032-03-01",
  weeks: { first: "2032-03-01", last: "2032-03-31" },
  says: [],
  readiness: {
    state: "forecast",
    early: "2031-12-04",
    day: "2032-01-10",
    late: "2032-02-20",
    reached: 0,
    share: 0.9,
    measured: [
      { on: "2031-07-02", n: 30, means: { height_cm: 24 } },
      { on: "2031-07-16", n: 30, means: { height_cm: 26 } },
      { on: "2031-07-30", n: 30, means: { height_cm: 28 } },
    ],
    minimum: { height_cm: 45 },
    fan: {
      height_cm: [
        { on: "2031-07-30", low: 28, middle: 28, high: 28 },
        { on: "2031-12-04", low: 38, middle: 41, high: 45 },
        { on: "2032-02-20", low: 45, middle: 51, high: 58 },
        { on: "2032-04-10", low: 48, middle: 56, high: 66 },
      ],
    },
  },
  pots_full_on: "2032-01-26",
  container: "2.5 L",
  toughening_days: 26,
  labour: {
    plants: 214,
    per_person_day: 60,
    person_days: 4,
    booked: [{ on: "2032-03-09", people: 3 }],
  },
  blocks: [
    {
      id: "block-1",
      name: "Terrace 4",
      holes: 214,
      pits_ready: 180,
      shelter_cm: 120,
      shelter_wanted_cm: 150,
    },
  ],
  delays: DELAYS,
};

export const WEATHER: Weather = {
  series: "Veshmere, invented",
  years: 30,
  enough: true,
  invented: true,
  first: "2001-01-01",
  last: "2030-12-31",
};

const YEAR = daysOf({ from: "2032-01-01", to: "2032-12-31" });

export const SEASON: Season = {
  as_of_seq: 412,
  today: TODAY,
  stale: false,
  weather: WEATHER,
  weeks: [
    { first: "2031-10-01", last: "2031-11-15", main: true, set_by: "G" },
    { first: "2032-03-01", last: "2032-03-31", main: false, set_by: "G" },
    { first: "2032-10-01", last: "2032-11-15", main: true, set_by: "G" },
  ],
  odds: {
    follow_up_days: 183,
    years: 30,
    without: ["windy_days"],
    windows: [
      { first: "03-01", last: "03-28" },
      { first: "10-05", last: "11-12" },
    ],
    days: YEAR.map((day, i) => {
      const score = 0.5 + 0.4 * Math.sin(((i - 20) / 366) * 4 * Math.PI);
      return {
        day: day.slice(5),
        score,
        low: Math.max(0, score - 0.2),
        high: Math.min(1, score + 0.1),
        wet: score,
        holds: score,
        stress_days: 12.3,
        hot_days: 4,
        windy_days: null,
        years: 30,
      };
    }),
  },
  site: true,
  currency: null,
  items: [ITEM],
};

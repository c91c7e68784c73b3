/** The season in sentences: what the figures say, in the words of the catalogue. */
import { speech } from "../../parts/speech.svelte";
import type { Key } from "../../words/catalogue";
import { daysBetween } from "../../words/forms";
import { parts } from "../weeks/year-days";
import { money, seasonsLost, type Slip, type Stretch } from "./delays";
import { ofHundred } from "./odds";
import type { Cost, Delay, Item, Readiness, SetWeeks } from "./shapes";

const { say, word } = speech;

/** `up to 10 weeks`, `10 to 14 weeks`, `15 weeks and more`. */
export function howLong({ from, to }: Stretch): string {
  if (to === null) return from <= 1 ? say("season.any") : say("season.from_on", { n: from });
  if (from <= 1) return say("season.up_to", { n: to });
  return from === to ? say("season.just", { n: to }) : say("season.from_to", { from, n: to });
}

/** What weeks of a stretch cost. */
export function costs({ code, seasons, first, last }: Stretch): string {
  if (code === "fewer_days")
    return last.days_left === null
      ? say("season.cost.fewer")
      : say("season.cost.fewer_days", { n: last.days_left });
  if (code !== "season") return word(`season.cost.${code}`) ?? say("season.cost.cannot_tell");
  return first.plant_on === null
    ? say("season.cost.season_only", { n: seasons })
    : say("season.cost.season", { n: seasons, on: first.plant_on });
}

/** How long before planting pots are full, over the weeks of a stretch; null where they are not. */
export function potsFull({ first, last }: Stretch): string | null {
  const [from, to] = [first.pots_full_weeks ?? 0, last.pots_full_weeks ?? 0];
  if (Math.max(from, to) <= 0) return null;
  return from === to
    ? say("season.pots_weeks", { n: to })
    : say("season.pots_weeks_to", { from, to });
}

/** What can be done about full pots: what the law holds is potted on only by consent. */
export function waysOut({ clock }: Pick<Item, "clock">): string {
  return say(clock === null || clock.released ? "season.ways_out" : "season.ways_out_held");
}

/** What it costs in money, from the first of its weeks to the last; null where it is none or nobody typed it. */
export function costsMoney(
  { first, last }: Stretch,
  currency: string | null = null,
): string | null {
  if (first.cost === null || last.cost === null) return null;
  const [from, to] = [Math.round(first.cost.total), Math.round(last.cost.total)];
  if (from === 0 && to === 0) return null;
  const figure = (n: number): string => say("figure", { figure: n });
  const n = from === to ? figure(from) : `${figure(from)}–${figure(to)}`;
  return currency ? say("season.cost.money_in", { n, currency }) : say("season.cost.money", { n });
}

/** What is lost if release comes so many weeks later, in one sentence. */
export function lost(slip: Slip): string {
  const { weeks: n, before, after } = slip;
  if (after.code === "season") {
    const seasons = say("season.seasons", { n: seasonsLost(slip) });
    if (after.plant_on === null || before.plant_on === null)
      return say("season.slip.season_gone", { n, seasons });
    const days = { before: before.plant_on, after: after.plant_on };
    return say("season.slip.season", { n, seasons, ...days });
  }
  if (after.code === "fewer_days" && after.days_left !== null && before.days_left !== null)
    return say("season.slip.fewer_days", { n, left: after.days_left, of: before.days_left });
  if (after.code === "cannot_tell" || after.plant_on === null)
    return say("season.slip.cannot_tell", { n });
  return before.plant_on === null || after.plant_on === before.plant_on
    ? say("season.slip.nothing", { n, on: after.plant_on })
    : say("season.slip.moved", { n, before: before.plant_on, after: after.plant_on });
}

export interface Fact {
  readonly says: string;
  readonly before: string;
  readonly after: string;
}

const MONEY: readonly (readonly [keyof Cost, Key])[] = [
  ["plants", "season.fact.plants"],
  ["hours", "season.fact.hours"],
  ["pots", "season.fact.new_pots"],
  ["total", "season.fact.total"],
];

/** The same in figures, as it stands and then. What neither side knows is left out. */
export function facts(slip: Slip, currency: string | null = null): Fact[] {
  const { before, after } = slip;
  const counted = currency ?? say("season.in_money");
  const day = (one: string | null): string | null => one && say("on_day", { on: one });
  const figure = (one: number | null): string | null =>
    one === null ? null : say("figure", { figure: Math.round(one) });
  const of = (key: Key, read: (one: Delay) => string | null): Fact[] => {
    const [was, is] = [read(before), read(after)];
    const unknown = say("season.cost.cannot_tell");
    return was === null && is === null
      ? []
      : [{ says: say(key, { money: counted }), before: was ?? unknown, after: is ?? unknown }];
  };
  return [
    ...of("season.fact.free", ({ free_on }) => day(free_on)),
    ...of("season.fact.plant", ({ plant_on }) => day(plant_on)),
    ...of("season.fact.seasons", ({ seasons }) => figure(seasons)),
    ...of("season.fact.left", ({ days_left }) => figure(days_left)),
    ...of("season.fact.odds", ({ odds }) => figure(ofHundred(odds))),
    ...of("season.fact.pots", ({ pots_full_weeks }) => figure(pots_full_weeks)),
    ...(money(slip) === null
      ? []
      : MONEY.flatMap(([part, key]) =>
          of(key, ({ cost }) => (cost === null ? null : figure(cost[part]))),
        )),
  ];
}

/** When they are big enough, or why that cannot be said; and whether its curve is from memory. */
export function readiness(told: Readiness): string {
  const usual = told.usual_curves ?? [];
  const forecast = told.state === "forecast" || told.state === "ready";
  if (!forecast || usual.length === 0) return grown(told);
  const names = usual.map(measureName);
  return `${grown(told)} ${say("season.curve_memory", { names })}`;
}

function grown({ state, early, day, late }: Readiness): string {
  if (state !== "forecast") return word(`season.ready.${state}`) ?? say("season.ready.unknown");
  if (day !== null && early !== null && late !== null)
    return say("season.ready.forecast", { early, day, late });
  return early === null
    ? say("season.ready.unknown")
    : say("season.ready.forecast_from", { early });
}

/** A measure in words, with its unit. */
export function measureName(measure: string): string {
  return word(`season.measure.${measure}`) ?? measure;
}

/** How many days a stretch has, both ends included. */
export function length(first: string, last: string): number {
  return daysBetween(first, last) + 1;
}

/** How many days were set by hand, by whom and when, as far as it was written down. */
export function setBy(n: number, { set_by: who, set_on: on }: Partial<SetWeeks>): string {
  if (!who) return say("season.set", { n });
  return on ? say("season.set_by_on", { n, who, on }) : say("season.set_by", { n, who });
}

/** `1 MAR`, of a day or of a day of the year: without the year, which the axis has. */
export function yearDay(day: string): string {
  const { month, date } = parts(day.slice(-5));
  return say("weeks.year_day", { date, month: word(`date.month.${month}`) ?? "" });
}

/** `1–31 MAR`, `1 OCT–15 NOV`; of days with their year only once, and only where it is not this one. */
export function spelled(first: string, last: string): string {
  const [a, b] = [first.slice(0, -3), last.slice(0, -3)];
  const whole = (day: string): string =>
    day.length > 5 ? say("season.bare", { on: day }) : yearDay(day);
  const from =
    a === b
      ? parts(first.slice(-5)).date
      : first.slice(0, -6) === last.slice(0, -6)
        ? yearDay(first)
        : whole(first);
  return say("season.span", { from, to: whole(last) });
}

/** The same without any year. */
export function brief(first: string, last: string): string {
  return spelled(first.slice(-5), last.slice(-5));
}

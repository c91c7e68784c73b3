/**
 * A planting day as this phone knows it: what the office told, and over it what was typed since.
 *
 * Follows `nursery/domain/planting/facts.py` (rules V-2, V-5 to V-8, V-10, V-11): a figure of this phone counts at
 * once, without signal, and what a probe told grows old here as it does at the office. How far the
 * plants are toughened and graded stays as the office told it.
 */
import { apart, later } from "./days";
import { byText, type Entry, type Instant } from "./entry";
import * as planting from "./planting";
import type { Block, Check, Colour, Day, Levels, Odds, Plants } from "./planting";
import { standing } from "./timeline";

const FIGURES_COUNT = 3;
const OUTLOOK_DAYS = 10;
const HEAT_DAYS = 3;
const WEEK = 7;
const NO_SIGN = /^[ \t\r\n\u00a0]*$/;

interface Figure {
  readonly value: number;
  readonly on: string;
}

export interface Sky {
  readonly high_c?: number | null;
  readonly low_c?: number | null;
  readonly rain_mm?: number | null;
  readonly wind_kmh?: number | null;
}

export interface Signature {
  readonly by: string;
  readonly reason: string;
  readonly on: string;
}

/** What the office tells of one group of plants and the blocks that wait for them. */
export interface Told {
  readonly id: string;
  /** That of the consignment or the crop; an older office tells none. */
  readonly name?: string;
  readonly on: string;
  readonly batches: readonly string[];
  readonly plants: Plants;
  readonly day: Day;
  readonly blocks: readonly Block[];
  readonly levels: Levels;
  readonly signed: Readonly<Record<string, Signature>>;
  readonly waiting: number;
  readonly spares: number;
  readonly ahead: {
    readonly field: Readonly<Record<string, Readonly<Record<string, Figure>>>>;
    readonly sky: Readonly<Record<string, Sky>>;
    /** The risk of a dry spell by planting day; an older office tells none. */
    readonly odds?: {
      readonly invented: boolean;
      readonly days: Readonly<Record<string, { readonly risk: number; readonly years: number }>>;
    } | null;
    readonly booked: boolean;
    readonly full_on: string | null;
    readonly weeks: { readonly first: string; readonly last: string } | null;
  };
}

export interface Here {
  readonly today: string;
  readonly dayOf: (instant: Instant) => string;
  /** Records about the plants, the blocks and the places around them. */
  readonly entries: readonly Entry[];
  /** Ids of those that the office had not read when it told. */
  readonly fresh: readonly string[];
  /** A place and those around it. */
  readonly outward: (place: string) => readonly string[];
  readonly growers: readonly string[];
  /** What this phone knows to stand against it, whatever was told. */
  readonly held: boolean;
  readonly reentry: (on: string) => boolean;
}

export interface Afield {
  readonly on: string;
  readonly day: Day;
  readonly blocks: readonly Block[];
  readonly sky: Readonly<Record<string, Sky>>;
  /** How deep a probe found it wet, of each block, as long as that counts. */
  readonly wet: Readonly<Record<string, number | null>>;
  readonly checks: readonly Check[];
  readonly signed: Readonly<Record<string, Signature>>;
  readonly verdict: Colour;
  readonly verdicts: Readonly<Record<string, Colour>>;
  readonly spares: number;
}

interface Booked {
  readonly act: string;
  readonly on: string;
  readonly people?: number | null;
  readonly proposed?: boolean | null;
}

interface Signed {
  readonly act: string;
  readonly reason: string;
  readonly checks?: readonly string[] | null;
  readonly on?: string | null;
  readonly plants?: number | null;
}

/** Levels that an older office does not tell. */
const LATER_LEVELS = { wet_day_mm: 1, wind_go_kmh: 30, wind_no_kmh: 40 };

export function afield(told: Told, here: Here): Afield {
  const levels = { ...LATER_LEVELS, ...told.levels };
  const facts = standing(here.entries).entries.filter(({ id }) => here.fresh.includes(id));
  const { on, people } = booked(told, facts, here.today);
  const sky = { ...told.ahead.sky, ...forecasts(facts) };
  const read = (what: string) => (block: Block) => figure(what, block.id, told, facts, here);
  const blocks = told.blocks.map((block) => ({
    ...block,
    pits: read("pits_ready")(block) ?? block.pits,
    nurse_cm: read("shelter_cm")(block) ?? block.nurse_cm,
  }));
  const depths = told.blocks.map(read("wet_to_cm"));
  const day: Day = {
    ...weather(sky, here.today, on, levels),
    wet_to_cm: driest(depths),
    ...drySpell(told.blocks.map(read("dry_spell_percent")), told, on),
    days_left: daysLeft(told, on),
    people,
    people_wanted: told.day.people_wanted,
  };
  const full = told.ahead.full_on;
  const plants: Plants = {
    ...told.plants,
    held: told.plants.held || here.held,
    reentry: told.plants.reentry || here.reentry(on),
    full_weeks: full === null ? null : Math.floor(apart(full, on) / WEEK),
  };
  const checks = planting.checks(plants, day, blocks, levels);
  const mine = signatures(told, facts, on, here);
  const signed = { ...(on === told.on ? told.signed : {}), ...keyed(mine, here) };
  const keys = new Set(Object.keys(signed));
  return {
    ...{ on, day, blocks, sky, checks, signed },
    wet: Object.fromEntries(told.blocks.map(({ id }, i) => [id, depths[i] ?? null])),
    verdict: planting.verdict(checks, keys),
    verdicts: Object.fromEntries(blocks.map(({ id }) => [id, planting.verdict(checks, keys, id)])),
    spares: Math.max(on === told.on ? told.spares : 0, ...mine.map(({ body }) => body.plants ?? 0)),
  };
}

/** The first day that is booked, else the first of the planting weeks; who comes on it (V-5). */
function booked(told: Told, facts: readonly Entry[], today: string) {
  const found = bodies<Booked>(facts, "booked").filter(
    ({ act, on, proposed }) => act === "planting" && on >= today && proposed !== true,
  );
  const known = told.ahead.booked && told.on >= today ? [told.on] : [];
  const unbooked = told.on > today ? told.on : today;
  const on = [...known, ...found.map((one) => one.on)].sort(byText)[0] ?? unbooked;
  const people = [
    known[0] === on ? told.day.people : null,
    ...found.map((one) => (one.on === on ? (one.people ?? null) : null)),
  ].filter((n) => n !== null);
  return { on, people: people.length > 0 ? people.reduce((sum, n) => sum + n, 0) : null };
}

function forecasts(facts: readonly Entry[]): Record<string, Sky> {
  interface Days {
    readonly days: readonly (Sky & { readonly on: string })[];
  }
  const days = bodies<Days>(facts, "forecast").flatMap((one) => one.days);
  return Object.fromEntries(days.map(({ on, ...sky }) => [on, sky]));
}

/** The last figure that was read at a block or at a place around it, as long as it counts (V-6). */
function figure(
  what: string,
  block: string,
  told: Told,
  facts: readonly Entry[],
  { today, dayOf, outward }: Here,
): number | null {
  const around = outward(block);
  const read = facts
    .filter(({ about }) => about.some((place) => around.includes(place)))
    .flatMap((entry) => readings(entry).map((one) => ({ ...one, on: dayOf(entry.occurredAt) })))
    .findLast((one) => one.what === what && one.on <= today);
  const last = read ?? told.ahead.field[block]?.[what];
  const ages = what === "wet_to_cm" || what === "dry_spell_percent";
  if (last === undefined || (ages && last.on <= later(today, -FIGURES_COUNT))) return null;
  return last.value;
}

interface Reading {
  readonly what: string;
  readonly value: number;
}

function readings(entry: Entry): readonly Reading[] {
  return bodies<{ readonly readings: readonly Reading[] }>([entry], "read").flatMap(
    (one) => one.readings,
  );
}

function weather(
  sky: Readonly<Record<string, Sky>>,
  today: string,
  on: string,
  { wet_day_mm: wet }: Levels,
) {
  const said = (from: string, days: number): Sky[] =>
    Array.from({ length: days }, (_, i) => sky[later(from, i)] ?? {});
  const rain = said(today, OUTLOOK_DAYS).flatMap(({ rain_mm }) => rain_mm ?? []);
  const most = (of: "high_c" | "wind_kmh"): number | null => {
    const known = said(on, HEAT_DAYS).flatMap((one) => one[of] ?? []);
    return known.length > 0 ? Math.max(...known) : null;
  };
  return {
    wet_days_ahead: rain.length > 0 ? rain.filter((mm) => mm >= wet).length : null,
    high_c: most("high_c"),
    wind_kmh: most("wind_kmh"),
  };
}

/** The driest block counts, and none where one was not probed. */
function driest(depths: readonly (number | null)[]): number | null {
  const known = depths.filter((cm) => cm !== null);
  return known.length > 0 && known.length === depths.length ? Math.min(...known) : null;
}

/** What was typed of any block, and else the odds of the day (rule V-11). */
function drySpell(
  typed: readonly (number | null)[],
  { ahead: { odds } }: Told,
  on: string,
): { readonly dry_spell_risk: number | null; readonly dry_spell_odds: Odds | null } {
  const risk = riskiest(typed);
  const known = odds?.days[on];
  if (risk !== null || !odds || known === undefined)
    return { dry_spell_risk: risk, dry_spell_odds: null };
  const { years } = known;
  return { dry_spell_risk: known.risk, dry_spell_odds: { years, invented: odds.invented } };
}

function riskiest(percents: readonly (number | null)[]): number | null {
  const known = percents.filter((percent) => percent !== null);
  return known.length > 0 ? Math.max(...known) / 100 : null;
}

function daysLeft({ ahead: { weeks } }: Told, on: string): number | null {
  if (weeks === null) return null;
  return weeks.first <= on ? Math.max(0, apart(on, weeks.last)) : 0;
}

/** What the grower signed here for this day: by PIN, with a reason (rule V-8). */
function signatures(told: Told, facts: readonly Entry[], on: string, here: Here) {
  const subjects = new Set([...told.batches, ...told.blocks.map(({ id }) => id)]);
  return facts
    .filter(({ about }) => about.some((one) => subjects.has(one)))
    .flatMap((entry) => bodies<Signed>([entry], "signed").map((body) => ({ entry, body })))
    .filter(({ body }) => body.act === "planting" && !NO_SIGN.test(body.reason))
    .filter(({ entry, body }) => (body.on ?? here.dayOf(entry.occurredAt)) === on)
    .filter(({ entry }) => entry.confirmed && here.growers.includes(entry.author));
}

function keyed(mine: ReturnType<typeof signatures>, { dayOf }: Here): Record<string, Signature> {
  return Object.fromEntries(
    mine.flatMap(({ entry, body }) => {
      const one = { by: entry.author, reason: body.reason, on: dayOf(entry.occurredAt) };
      return (body.checks ?? []).map((key) => [key, one]);
    }),
  );
}

/** Bodies of a kind that is kept and shown; what this version cannot read says nothing. */
function bodies<T>(facts: readonly Entry[], named: string): T[] {
  return facts.flatMap((one) =>
    one.kind === "other" && one.named === named && !one.unread ? [one.body as unknown as T] : [],
  );
}

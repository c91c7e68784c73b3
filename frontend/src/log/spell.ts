/**
 * From when to when a product was applied, and how long nobody goes in: hours as people say them,
 * laid on the clock.
 */
import { later } from "./days";
import type { Instant } from "./entry";
import { instantOf, msOf } from "./instant";

/** `HH:MM` each; empty as long as nobody said it. `day` is the day of the start. */
export interface Hours {
  readonly day: string;
  readonly sign: string;
  readonly start: string;
  readonly end: string;
}

export interface Spell {
  readonly signAt: Instant | null;
  readonly startedAt: Instant | null;
  readonly endedAt: Instant | null;
}

export type At = (day: string, hour: string) => Instant;

const HOUR_MS = 3600_000;
/** A sign that went up longer ago than this was not put up for this treatment. (Own choice.) */
const LONG_MS = 12 * HOUR_MS;

/** An end before the start is of the next day; a sign after the start may be of the evening before. */
export function spellOf({ day, sign, start, end }: Hours, at: At): Spell {
  const startedAt = start === "" ? null : at(day, start);
  const over = end !== "" && end < start;
  const endedAt = startedAt === null || end === "" ? null : at(over ? later(day, 1) : day, end);
  return { signAt: sign === "" ? null : signed(day, sign, startedAt, at), startedAt, endedAt };
}

function signed(day: string, sign: string, startedAt: Instant | null, at: At): Instant {
  const same = at(day, sign);
  if (startedAt === null || same <= startedAt) return same;
  const before = at(later(day, -1), sign);
  return msOf(startedAt) - msOf(before) <= LONG_MS ? before : same;
}

export type SpellDoubt = "sign_late" | "ahead" | "long";

/** What is asked about once more: nothing of it is refused. */
export function oddSpell({ signAt, startedAt, endedAt }: Spell, now: Instant): SpellDoubt | null {
  if (signAt !== null && startedAt !== null && signAt > startedAt) return "sign_late";
  if ((endedAt ?? startedAt ?? now) > now) return "ahead";
  const lasted = startedAt === null || endedAt === null ? 0 : msOf(endedAt) - msOf(startedAt);
  return lasted > LONG_MS ? "long" : null;
}

/** When people may go in again: hours by the clock, whatever the clocks on the wall do meanwhile. */
export function reentry(endedAt: Instant, hours: number): Instant {
  return instantOf(msOf(endedAt) + Math.round(hours * HOUR_MS)) as Instant;
}

/** So many hours a record of a treatment says; null where it says none. */
export function hoursOf(endedAt: string, until: string | null): number | null {
  return until === null ? null : (msOf(until) - msOf(endedAt)) / HOUR_MS;
}

/** What goes on: litres of mix, and of the product as much as its unit says. */
export interface Amounts {
  readonly litres: number | null;
  readonly product: number | null;
}

/**
 * From an area, millilitres of mix for each square metre, and the product in a litre of mix.
 *
 * Twin of `amounts` in `nursery/domain/treatments.py`; `tests/vectors/amounts.json` keeps the two
 * alike.
 */
export function amounts(
  areaM2: number | null,
  mixPerM2: number | null,
  perLitre: number | null,
): Amounts {
  const litres = areaM2 === null || mixPerM2 === null ? null : rounded(areaM2 * mixPerM2) / 1000;
  return {
    litres: litres === null ? null : rounded(litres),
    product: litres === null || perLitre === null ? null : rounded(litres * perLitre),
  };
}

/** To a thousandth: what no measuring jug tells is noise of the reckoning. */
function rounded(figure: number): number {
  return Math.round(figure * 1000) / 1000;
}

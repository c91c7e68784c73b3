/** Instants as figures, where two of them must be held apart. */

const MINUTE_MS = 60_000;
const DAY_MIN = 1440;

/** Milliseconds from 1970 of an instant in its one canonical form. */
export function msOf(instant: string): number {
  const [year, month, date, hour, minute, second, ms] = instant.split(/\D/).map(Number) as Seven;
  const days = daysOf(year, month, date);
  return (days * DAY_MIN + hour * 60 + minute) * MINUTE_MS + second * 1000 + ms;
}

/** When an id was made (RFC 9562, version 7), in milliseconds from 1970. */
export function madeAt(id: string): number {
  return parseInt(id.replaceAll("-", "").slice(0, 12), 16);
}

type Seven = [number, number, number, number, number, number, number];

/** Days from 1970-01-01 in the Gregorian calendar, years counted from March so that leap days end them. */
function daysOf(year: number, month: number, date: number): number {
  const march = month > 2 ? year : year - 1;
  const inYear = Math.floor((153 * (month > 2 ? month - 3 : month + 9) + 2) / 5) + date - 1;
  const leaps = Math.floor(march / 4) - Math.floor(march / 100) + Math.floor(march / 400);
  return march * 365 + leaps + inYear - 719_468;
}

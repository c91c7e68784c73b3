/** Instants as figures, where two of them must be held apart. */

const MINUTE_MS = 60_000;
const DAY_MIN = 1440;
const DAY_MS = DAY_MIN * MINUTE_MS;
const ERA_DAYS = 146_097;

/** Milliseconds from 1970 of an instant in its one canonical form. */
export function msOf(instant: string): number {
  const [year, month, date, hour, minute, second, ms] = instant.split(/\D/).map(Number) as Seven;
  const days = daysOf(year, month, date);
  return (days * DAY_MIN + hour * 60 + minute) * MINUTE_MS + second * 1000 + ms;
}

/** The instant so many milliseconds from 1970, within the years of four figures. */
export function instantOf(ms: number): string {
  const days = Math.floor(ms / DAY_MS);
  const rest = ms - days * DAY_MS;
  const [second, minute, hour] = [rest / 1000, rest / MINUTE_MS, rest / (60 * MINUTE_MS)];
  const clock = [hour, minute % 60, second % 60].map((one) => padded(Math.floor(one), 2)).join(":");
  return `${dateOf(days)}T${clock}.${padded(rest % 1000, 3)}Z`;
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

/** The ISO day so many days from 1970-01-01: the way of `daysOf` back, by spans of 400 years. */
function dateOf(days: number): string {
  const since = days + 719_468;
  const era = Math.floor(since / ERA_DAYS);
  const inEra = since - era * ERA_DAYS;
  const passed =
    Math.floor(inEra / 1460) - Math.floor(inEra / 36_524) + Math.floor(inEra / 146_096);
  const years = Math.floor((inEra - passed) / 365);
  const inYear = inEra - (365 * years + Math.floor(years / 4) - Math.floor(years / 100));
  const march = Math.floor((5 * inYear + 2) / 153);
  const month = march < 10 ? march + 3 : march - 9;
  const date = inYear - Math.floor((153 * march + 2) / 5) + 1;
  const year = era * 400 + years + (month <= 2 ? 1 : 0);
  return `${padded(year, 4)}-${padded(month, 2)}-${padded(date, 2)}`;
}

function padded(figure: number, width: number): string {
  return String(figure).padStart(width, "0");
}

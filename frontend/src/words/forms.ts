/**
 * Days, hours, spans and figures in words, as the catalogue has them.
 *
 * Twin of `nursery/services/word_forms.py`; `tests/vectors/words.json` keeps the two alike. The
 * built-in short names of months and weekdays are not used: in Spanish `mar` is a Tuesday and a month.
 */
import type { Key } from "./catalogue";
import { local } from "./local";

/** The manner of one nursery: its zone (IANA name), decimal mark and present local day. */
export interface House {
  readonly zone: string;
  readonly mark: "." | ",";
  readonly today: string | null;
}

export type Params = Readonly<Record<string, unknown>>;
export type Say = (key: Key, params?: Params) => string;
export type Form = (say: Say, value: string, house: House) => string;

const NO_BREAK = "\u00a0";
const DAYS_IN_WORDS = 60;
const DAY_MS = 86_400_000;

/** No mark up to 9999, from 10 000 a no-break space, the nursery's decimal mark. */
export function number(value: number, mark: string): string {
  const [whole = "0", part] = Math.abs(value).toString().split(".");
  const grouped = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, NO_BREAK) : whole;
  return (value < 0 ? "−" : "") + grouped + (part ? mark + part : "");
}

/**
 * The figure that a person typed with either mark; "ask" where `1.234` may be a thousand or one and
 * a bit; null where it is no figure.
 */
export function readNumber(text: string): number | "ask" | null {
  const typed = text.replace(/[\s\u00a0]/g, "");
  if (/^\d{1,3}[.,]\d{3}$/.test(typed) && !typed.startsWith("0")) return "ask";
  if (!/^\d+([.,]\d+)?$/.test(typed)) return null;
  return Number(typed.replace(",", "."));
}

/** The same of figures that may lie below zero, with their minus before them. */
export function readSigned(text: string): number | "ask" | null {
  const below = /^\s*[-\u2212]/.test(text);
  const value = readNumber(below ? text.replace(/[-\u2212]/, "") : text);
  return below && typeof value === "number" ? -value : value;
}

/** A figure as it stands in a field: `readNumber` reads the same again. */
export function figureText(value: number, mark: string): string {
  const text = String(value).replace(".", mark);
  return readNumber(text) === "ask" ? `${text}0` : text;
}

/** `TUE 9 MAR`; with its year where that is not the present one. */
export const day: Form = (say, value, house) => dated(say, "date.short", value, house);

/** `9 MAR`, without the weekday. */
export const bareDay: Form = (say, value, house) => dated(say, "date.bare", value, house);

/** `Tuesday 9 March`, as spoken. */
export const longDay: Form = (say, value, house) => dated(say, "date.long", value, house, "_long");

/** `early`, `mid` or `late JAN`. */
export const monthPart: Form = (say, value) => {
  const on = parts(value);
  const part = on.date <= 10 ? "early" : on.date <= 20 ? "mid" : "late";
  return say(`date.part.${part}`, { month: say(`date.month.${on.month}` as Key) });
};

/** `WED 28 MAY 04:50`, in the nursery's zone. */
export const moment: Form = (say, value, house) => {
  const at = local(value, house.zone);
  return say("date.moment", { day: dated(say, "date.short", at.day, house), hour: at.hour });
};

/** `04:50`, in the nursery's zone. */
export const hour: Form = (_say, value, house) => local(value, house.zone).hour;

/** `3 days ago`, `yesterday`, `in 3 days`, counted from the present day of the nursery. */
export const since: Form = (say, value, house) => {
  const ahead = house.today === null ? 0 : daysBetween(house.today, value);
  if (ahead === 0) return say("date.today");
  if (ahead === -1) return say("date.yesterday");
  if (ahead === 1) return say("date.tomorrow");
  return ahead < 0 ? say("date.ago", { n: -ahead }) : say("date.ahead", { n: ahead });
};

/** `45 days`; above 60 days in weeks. */
export const days: Form = (say, value) => {
  const n = Number(value);
  return n > DAYS_IN_WORDS ? say("span.weeks", { n: Math.floor(n / 7) }) : say("span.days", { n });
};

/** `25 min`, `13 h`, `13 h 25 min`. */
/** From so many hours on nobody counts in hours. */
const IN_DAYS = 72;

export const minutes: Form = (say, value) => {
  const all = Math.trunc(Number(value));
  const hours = Math.floor(all / 60);
  const rest = all % 60;
  if (hours >= IN_DAYS) {
    return say("span.days_hours", { days: Math.floor(hours / 24), hours: hours % 24 });
  }
  if (hours && rest) return say("span.hours_minutes", { hours, minutes: rest });
  return hours ? say("span.hours", { n: hours }) : say("span.minutes", { n: rest });
};

/** A span in milliseconds, however directed, in minutes and hours. */
export const milliseconds: Form = (say, value, house) =>
  minutes(say, String(Math.round(Math.abs(Number(value)) / 60_000)), house);

/** Days from one ISO day to another; negative where the other lies before. */
export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / DAY_MS);
}

function parts(day: string): { year: number; month: number; date: number } {
  const [year = 0, month = 0, date = 0] = day.split("-").map(Number);
  return { year, month, date };
}

function dated(
  say: Say,
  key: "date.short" | "date.bare" | "date.long",
  value: string,
  house: House,
  names = "",
): string {
  const on = parts(value);
  const weekday = ((new Date(value).getUTCDay() + 6) % 7) + 1;
  const otherYear = house.today !== null && parts(house.today).year !== on.year;
  return say(otherYear ? `${key}_year` : key, {
    weekday: say(`date.weekday${names}.${weekday}` as Key),
    date: String(on.date),
    month: say(`date.month${names}.${on.month}` as Key),
    year: String(on.year),
  });
}

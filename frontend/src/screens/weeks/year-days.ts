/** Planting weeks as they are set: days of a year, without the year. */
import type { Weeks } from "../../log/weeks";

/** Months with 29 in February: a day of the year that comes in leap years alone is one too. */
const LAST = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/** `10-01`, or null where no month has such a date. */
export function yearDay(month: number | null, date: string): string | null {
  const figure = Number(date);
  const last = LAST[(month ?? 0) - 1];
  if (last === undefined || date === "" || figure < 1 || figure > last) return null;
  return `${two(month ?? 0)}-${two(figure)}`;
}

export function parts(day: string): { month: number; date: string } {
  const [month = "1", date = "1"] = day.split("-");
  return { month: Number(month), date: String(Number(date)) };
}

/** Of several the first given are the main ones. */
export function asMain(weeks: readonly Weeks[], at: number): Weeks[] {
  const chosen = weeks[at];
  return chosen ? [chosen, ...weeks.filter((_, i) => i !== at)] : [...weeks];
}

function two(figure: number): string {
  return String(figure).padStart(2, "0");
}

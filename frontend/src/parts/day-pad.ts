/** A day put together from a pad: its year, its month and the figures of its date. */

/** The ISO day, or null where the calendar has none. */
export function dayOf(year: number, month: number | null, date: string): string | null {
  if (month === null || date === "") return null;
  const day = `${year}-${two(month)}-${two(Number(date))}`;
  const made = new Date(`${day}T00:00:00Z`);
  return !Number.isNaN(made.getTime()) && made.toISOString().startsWith(day) ? day : null;
}

/** This year and so many before it, the latest first; of days to come this year and the next. */
export function yearsOf(today: string, years: number, coming: boolean, ahead = 0): number[] {
  const now = Number(today.slice(0, 4)) + ahead;
  return coming ? [now, now + 1] : Array.from({ length: years + ahead }, (_, i) => now - i);
}

function two(figure: number): string {
  return String(figure).padStart(2, "0");
}

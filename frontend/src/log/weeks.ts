/** The planting weeks that were set by hand, laid over the days of a batch. */

/** Days of a year, `10-01` to `11-15`; one that ends before it begins runs over the turn of the year. */
export interface Weeks {
  readonly first: string;
  readonly last: string;
  /** The person who set them, and the day; absent in weeks that were set before this was kept. */
  readonly set_by?: string;
  readonly set_on?: string;
}

/** The same in one year: ISO days, both included. */
export interface Spell {
  readonly first: string;
  readonly last: string;
}

/** The first spell that is open on a day or after it; null where none was set. */
export function nextWeeks(planting: readonly Weeks[], from: string): Spell | null {
  return spells(planting, from).find(({ last }) => last >= from) ?? null;
}

/** Spells that begin after today and are over before a day: nothing of this batch is planted in them. */
export function missedWeeks(planting: readonly Weeks[], today: string, until: string): Spell[] {
  return spells(planting, today).filter(({ first, last }) => first > today && last < until);
}

/** Those of the year before a day to two years after it, in order. */
function spells(planting: readonly Weeks[], around: string): Spell[] {
  const year = Number(around.slice(0, 4));
  return [-1, 0, 1, 2]
    .flatMap((more) => planting.map((weeks) => spellOf(weeks, year + more)))
    .sort((a, b) => (a.first < b.first ? -1 : 1));
}

function spellOf({ first, last }: Weeks, year: number): Spell {
  return { first: on(year, first), last: on(last < first ? year + 1 : year, last) };
}

function on(year: number, day: string): string {
  return `${String(year).padStart(4, "0")}-${day}`;
}

/** The form that lays a block out: what is typed, what is missing in it, and what is asked of it. */
import { isShare } from "../../log/shelter";
import { readNumber, readSigned } from "../../words/forms";
import type { Pattern, Thinning } from "./shapes";

export const WAYS = ["typed", "ground", "terraces"] as const;
export type Way = (typeof WAYS)[number];
export const PATTERNS = ["rectangular", "triangular", "double", "contour"] as const;

export interface Typing {
  way: Way;
  crop: string | null;
  /** `12 x 6`, or a number for each row. */
  rows: string;
  in_row: string;
  between: string;
  pair: string;
  pattern: Pattern;
  set_back: string;
  bearing: string;
  outline: string;
  lines: string;
  stake: string;
  each: string;
  side: "left" | "right";
  every: string;
  tree_m: string;
  species: string;
  goes: string;
  /** `2:50 3:50`: in year 2 half of the shelter trees go, in year 3 half of the others. */
  thin: string;
  /** Looks of so many days are one count; so many percent of the shelter go at once. */
  count_days: string;
  most: string;
}

export const BLANK: Typing = {
  ...{ way: "typed", crop: null, rows: "", in_row: "", between: "", pair: "", goes: "" },
  ...{ pattern: "rectangular", set_back: "", bearing: "", outline: "", lines: "", stake: "" },
  ...{ each: "", side: "left", every: "", tree_m: "", species: "", thin: "" },
  ...{ count_days: "", most: "" },
};

export type Field = keyof Typing;
const MOST_ROWS = 20_000;
const FIGURES: readonly Field[] = [
  ...(["in_row", "between", "pair", "set_back", "bearing", "each", "every"] as const),
  ...(["tree_m", "goes"] as const),
];
export const MOST_DAYS = 366;
const WHOLE: ReadonlySet<Field> = new Set<Field>(["each", "every", "goes"]);

/** `6 x 12` is six rows of twelve; otherwise one number for each row, apart by spaces or commas. */
export function countsOf(text: string): readonly number[] | null {
  const times = /^\s*(\d+)\s*[x×]\s*(\d+)\s*$/i.exec(text);
  if (times) {
    const [rows, holes] = [Number(times[1]), Number(times[2])];
    if (rows < 1 || rows > MOST_ROWS || holes < 1) return null;
    return Array.from({ length: rows }, () => holes);
  }
  const parts = text.split(/[\s,;]+/).filter(Boolean);
  const counts = parts.map(Number);
  const fine = counts.every((n) => Number.isInteger(n) && n > 0);
  return counts.length > 0 && fine ? counts : null;
}

/** Two figures, longitude first; null where they are none. */
export function placeOf(text: string): readonly [number, number] | null {
  const parts = text
    .trim()
    .split(/\s*[,;]\s+|\s+|;/)
    .filter(Boolean);
  const [lon, lat] = (parts.length === 2 ? parts : text.split(",")).map((part) =>
    readSigned(part.trim()),
  );
  return typeof lon === "number" && typeof lat === "number" ? [lon, lat] : null;
}

function jsonOf(text: string): object | null {
  try {
    const found: unknown = JSON.parse(text);
    return typeof found === "object" ? found : null;
  } catch {
    return null;
  }
}

/** The first field that cannot be read, or lacks. */
export function wrongOf(typed: Typing): Field | null {
  const unread = FIGURES.find((field) => {
    const text = typed[field] ?? "";
    const value = readNumber(text);
    return text !== "" && (typeof value !== "number" || (WHOLE.has(field) && value % 1 !== 0));
  });
  if (unread) return unread;
  if (thinningsOf(typed.thin) === null) return "thin";
  if (daysOf(typed) === "wrong") return "count_days";
  if (mostOf(typed) === "wrong") return "most";
  if (typed.way === "typed") return countsOf(typed.rows) === null ? "rows" : null;
  if (typed.in_row === "") return "in_row";
  if (typed.between === "") return "between";
  if (typed.way === "ground" && jsonOf(typed.outline) === null) return "outline";
  if (typed.outline !== "" && jsonOf(typed.outline) === null) return "outline";
  if (typed.way === "terraces" && jsonOf(typed.lines) === null) return "lines";
  const needsLine = typed.way === "ground" && typed.pattern === "contour";
  if ((typed.lines !== "" || needsLine) && jsonOf(typed.lines) === null) return "lines";
  return typed.stake !== "" && placeOf(typed.stake) === null ? "stake" : null;
}

/** What the office is asked to lay out; only of what `wrongOf` finds nothing in. */
export function askedOf(typed: Typing): Record<string, unknown> {
  const figure = (field: Field): number | undefined => {
    const value = readNumber(typed[field] ?? "");
    return typeof value === "number" ? value : undefined;
  };
  const shared = {
    ...{ way: typed.way, crop: typed.crop ?? undefined, pattern: typed.pattern },
    ...{ in_row_m: figure("in_row"), between_m: figure("between") },
    ...(typed.pattern === "double" ? { pair_m: figure("pair") } : {}),
    ...{ shelter_every: figure("every"), shelter_m: figure("tree_m"), goes: figure("goes") },
    ...(typed.species.trim() === "" ? {} : { species: typed.species.trim() }),
  };
  if (typed.way === "typed") return { ...shared, counts: countsOf(typed.rows) };
  const ground = {
    ...shared,
    ...{ set_back_m: figure("set_back"), bearing_deg: figure("bearing") },
    ...{ outline: jsonOf(typed.outline) ?? undefined, lines: jsonOf(typed.lines) ?? undefined },
    painted_end: placeOf(typed.stake) ?? undefined,
  };
  return typed.way === "terraces"
    ? { ...ground, rows_each: figure("each"), side: typed.side }
    : ground;
}

/** Shares in percent, year by year: together no more than a hundred. */
export function sharesOf(text: string): readonly number[] | null {
  const shares = text
    .split(/[\s;]+/)
    .filter(Boolean)
    .map(readNumber);
  const fine = shares.filter((one) => typeof one === "number");
  const sum = fine.reduce((all, one) => all + one, 0);
  return fine.length > 0 && fine.length === shares.length && sum <= 100 ? fine : null;
}

/** Names of positions, apart by spaces or commas. */
export function namesIn(text: string): readonly string[] {
  return text
    .toUpperCase()
    .split(/[\s,;]+/)
    .filter(Boolean);
}

/** Years with their shares in percent, such as `2:50 3:50`; none is fine. */
export function thinningsOf(text: string): readonly Thinning[] | null {
  const parts = text.split(/[\s;]+/).filter(Boolean);
  const found = parts.flatMap((part) => {
    const [, year, share] = /^(\d{1,2}):(\d{1,3})%?$/.exec(part) ?? [];
    const percent = Number(share);
    return Number(year) > 0 && percent > 0 && percent <= 100
      ? [{ year: Number(year), percent }]
      : [];
  });
  return found.length === parts.length ? found : null;
}

/** Days that belong to one count; undefined where nobody typed them. */
export function daysOf({ count_days: text }: Typing): number | undefined | "wrong" {
  const days = readNumber(text);
  if (text.trim() === "") return undefined;
  const fine = typeof days === "number" && days % 1 === 0 && days >= 1 && days <= MOST_DAYS;
  return fine ? days : "wrong";
}

/** The share of the shelter that goes at once at most; undefined where nobody typed it. */
export function mostOf({ most: text }: Typing): number | undefined | "wrong" {
  const percent = readNumber(text);
  if (text.trim() === "") return undefined;
  return isShare(percent) ? percent : "wrong";
}

/** What a layout says of counting and thinning, as it stands in its form; only of what is right. */
export function practiceOf(typed: Typing): { count_days?: number; most_percent?: number } {
  const [days, most] = [daysOf(typed), mostOf(typed)];
  return {
    ...(typeof days === "number" ? { count_days: days } : {}),
    ...(typeof most === "number" ? { most_percent: most } : {}),
  };
}

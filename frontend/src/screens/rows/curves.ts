/** How a measure of a crop grows, as it is typed: `day: mean / spread`, a semicolon between days. */
import { figureText, readNumber } from "../../words/forms";
import { several } from "../permits/draft";
import { tidy } from "./typing";

export interface Curve {
  readonly ages_days: readonly number[];
  readonly mean: readonly number[];
  readonly spread: readonly number[];
  /** How far one measurement is off. */
  readonly error: number;
  readonly source?: string | null;
}
export type Curves = Readonly<Record<string, Curve>>;

const ERRORS: Readonly<Record<string, number>> = { height_cm: 0.7, collar_mm: 0.2 };
const OF_COUNTS = 0.3;
const LEAST_DAYS = 2;
const MARKS = [".", ","];
const POINT = /^([^:/]+):([^:/]+)\/([^:/]+)$/;

export function curveText({ ages_days, mean, spread }: Curve, mark: string): string {
  const text = (figure: number | undefined): string => figureText(figure ?? 0, mark);
  return ages_days
    .map((age, i) => `${text(age)}: ${text(mean[i])} / ${text(spread[i])}`)
    .join("; ");
}

/** The curve that is typed of a measure; null where nothing is, undefined where it cannot be. */
export function curveOf(typed: string, measure: string, before?: Curve): Curve | null | undefined {
  if (tidy(typed) === "") return null;
  if (before && MARKS.some((mark) => typed === curveText(before, mark))) return before;
  const points = several(typed).map(pointOf);
  const known = points.filter((one) => one !== null);
  const rises = known.every(([age, mean], i) => {
    const [before, smaller] = known[i - 1] ?? [-1, 0];
    return age > before && mean >= smaller;
  });
  if (known.length < points.length || known.length < LEAST_DAYS || !rises) return undefined;
  return {
    ages_days: known.map(([age]) => age),
    mean: known.map(([, mean]) => mean),
    spread: known.map(([, , spread]) => spread),
    error: before?.error ?? ERRORS[measure] ?? OF_COUNTS,
    source: null,
  };
}

function pointOf(typed: string): readonly [number, number, number] | null {
  const [, age = "", mean = "", spread = ""] = POINT.exec(typed) ?? [];
  const read = [age, mean, spread].map((one) => readNumber(tidy(one)));
  const [a, m, s] = read;
  if (typeof a !== "number" || typeof m !== "number" || typeof s !== "number") return null;
  return s > 0 ? [a, m, s] : null;
}

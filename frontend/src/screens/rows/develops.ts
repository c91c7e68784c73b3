/** What looking and warmth ask of a pest, as it is typed, what is wrong with it, and what it makes. */
import type { Key } from "../../words/catalogue";
import { figureText, readNumber, readSigned } from "../../words/forms";
import type { DevelopsBody, PestBody, Wrong } from "./shapes";

/** As in `nursery/domain/reference/pests.py` and `impossible.py`. */
const COLDEST_C = -20;
const HOTTEST_C = 60;
const MOST_DEGREE_DAYS = 10_000;
const LEAST_NOTICED = 0.01;
const LEAST_SEEN = 1;

/** Shares are typed in percent. */
export interface LookingTyping {
  noticed: string;
  seen: string;
  lower: string;
  upper: string;
  perGeneration: string;
  developsSource: string;
  biofix: string | null;
}

export function lookingTyping(body: PestBody | null, mark: string): LookingTyping {
  const figure = (value: number | null | undefined): string =>
    value == null ? "" : figureText(value, mark);
  const percent = (part: number | undefined): string =>
    part === undefined ? "" : figure(Number((part * 100).toPrecision(6)));
  const its = body?.develops ?? null;
  return {
    ...{ noticed: percent(body?.noticed), seen: percent(body?.seen) },
    ...{ lower: figure(its?.lower_c), upper: figure(its?.upper_c) },
    ...{ perGeneration: figure(its?.generation_dd), developsSource: its?.source ?? "" },
    biofix: its?.biofix ?? null,
  };
}

function isBlank(text: string): boolean {
  return text.trim() === "";
}

/** Null where nothing is typed, NaN where it is no figure. */
function figureOf(text: string): number | null {
  if (isBlank(text)) return null;
  const value = readSigned(text);
  return typeof value === "number" ? value : NaN;
}

/** The first thing that cannot be; a pest of whose warmth nothing is typed is fine. */
export function wrongLooking(typed: LookingTyping): Wrong | null {
  return (
    wrongShare("noticed", typed.noticed, LEAST_NOTICED) ??
    wrongShare("seen", typed.seen, LEAST_SEEN) ??
    wrongWarmth(typed)
  );
}

function wrongShare(field: "noticed" | "seen", text: string, least: number): Wrong | null {
  if (isBlank(text)) return null;
  const value = readNumber(text);
  if (typeof value === "number" && value >= least && value <= 100) return null;
  return { field, value: text.trim(), says: `rows.odd_${field}` };
}

function isUntold(typed: LookingTyping): boolean {
  const { lower, upper, perGeneration, developsSource, biofix } = typed;
  return biofix === null && [lower, upper, perGeneration, developsSource].every(isBlank);
}

function wrongWarmth(typed: LookingTyping): Wrong | null {
  if (isUntold(typed)) return null;
  const [lower, upper] = [figureOf(typed.lower), figureOf(typed.upper)];
  const each = figureOf(typed.perGeneration);
  const at = (field: string, text: string, says: Key = "rows.develops_lacks"): Wrong =>
    isBlank(text)
      ? { field: `develops.${field}`, value: null, says: "rows.develops_lacks" }
      : { field: `develops.${field}`, value: text.trim(), says };
  if (lower === null || !(lower >= COLDEST_C && lower <= HOTTEST_C)) {
    return at("lower_c", typed.lower, "rows.odd_lower");
  }
  if (upper !== null && !(upper > lower && upper <= HOTTEST_C)) {
    return at("upper_c", typed.upper, "rows.odd_upper");
  }
  if (each === null || !(each >= 1 && each <= MOST_DEGREE_DAYS)) {
    return at("generation_dd", typed.perGeneration, "rows.odd_generation");
  }
  return isBlank(typed.developsSource) ? at("source", typed.developsSource) : null;
}

type LookingBody = Pick<PestBody, "noticed" | "seen" | "develops">;

/** Only of what `wrongLooking` finds nothing in; a share that is empty becomes the usual one. */
export function lookingBody(typed: LookingTyping, before: PestBody | null): LookingBody {
  const share = (text: string): number | undefined => {
    const value = readNumber(text);
    return typeof value === "number" ? Number((value / 100).toPrecision(6)) : undefined;
  };
  const develops = developsOf(typed);
  return {
    ...{ noticed: share(typed.noticed), seen: share(typed.seen) },
    ...(develops !== null || before?.develops ? { develops } : {}),
  };
}

function developsOf(typed: LookingTyping): DevelopsBody | null {
  const [lower, each] = [figureOf(typed.lower), figureOf(typed.perGeneration)];
  if (lower === null || each === null) return null;
  return {
    ...{ lower_c: lower, generation_dd: each, source: typed.developsSource.trim() },
    ...{ upper_c: figureOf(typed.upper), biofix: typed.biofix },
  };
}

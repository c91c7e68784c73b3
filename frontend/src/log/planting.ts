/**
 * Go, wait or no-go on a planting day: a list of checks, each with its figures (rules V-1 to V-4, V-10, V-11).
 *
 * Twin of `nursery/domain/planting/day.py`; `tests/vectors/planting.json` keeps the two alike. A
 * check that nobody brought a figure for cannot be told, and is never green.
 */

export type Colour = "go" | "wait" | "no" | "cannot_tell";

export interface Toughened {
  readonly doing: string;
  readonly step: string;
  readonly shade: number;
  readonly reasons: readonly { readonly code: string; readonly params: Params }[];
}

/** The plants for the day; `released` is null for plants that no law holds. */
export interface Plants {
  readonly fit: number;
  readonly released: number | null;
  readonly held: boolean;
  readonly reentry: boolean;
  readonly toughened: Toughened | null;
  readonly full_weeks: number | null;
}

/** So many years of weather behind a risk; an invented series is never told as measured. */
export interface Odds {
  readonly years: number;
  readonly invented: boolean;
}

export interface Day {
  readonly wet_to_cm: number | null;
  readonly wet_days_ahead: number | null;
  readonly dry_spell_risk: number | null;
  readonly high_c: number | null;
  readonly days_left: number | null;
  readonly people: number | null;
  readonly people_wanted: number | null;
  readonly wind_kmh: number | null;
  /** What the risk of a dry spell is of, where nobody typed one. */
  readonly dry_spell_odds: Odds | null;
}

/** A part of the field: pits, and the row that is to shade it. */
export interface Block {
  readonly id: string;
  readonly planned: number;
  readonly pits: number | null;
  readonly nurse_cm: number | null;
  readonly nurse_wanted_cm: number | null;
}

/** Where a check turns from go to wait, and from wait to no-go. */
export type Levels = Readonly<
  Record<
    | "wet_to_cm"
    | "wet_wait_cm"
    | "wet_days"
    | "wet_day_mm"
    | "dry_spell_go"
    | "dry_spell_no"
    | "heat_go_c"
    | "heat_no_c"
    | "wind_go_kmh"
    | "wind_no_kmh"
    | "fit_go"
    | "fit_wait"
    | "pits_wait"
    | "days_go"
    | "days_wait",
    number
  >
>;

type Params = Readonly<Record<string, unknown>>;

export interface Check {
  readonly what: string;
  readonly block: string | null;
  /** What a signature names: the check, of its block. */
  readonly key: string;
  readonly colour: Colour;
  readonly params: Params;
  readonly may_be_signed: boolean;
}

/** What the authority decides: nobody here signs it away. */
const LAW: ReadonlySet<string> = new Set(["released", "holds", "reentry"]);
const WORST: readonly Colour[] = ["go", "wait", "cannot_tell", "no"];

/** Every check of a planting day, in the order in which growers rank them. */
export function checks(
  plants: Plants,
  day: Day,
  blocks: readonly Block[],
  levels: Levels,
): readonly Check[] {
  const planned = blocks.reduce((sum, block) => sum + block.planned, 0);
  return [
    ...law(plants, planned),
    falling("soil", day.wet_to_cm, levels.wet_to_cm, levels.wet_wait_cm),
    outlook(day.wet_days_ahead, levels),
    drySpell(day, levels),
    toughened(plants.toughened),
    share("fit", plants.fit, planned, levels.fit_go, levels.fit_wait),
    ...pots(plants.full_weeks),
    ...blocks.flatMap((block) => field(block, levels)),
    people(day),
    rising("heat", day.high_c, levels.heat_go_c, levels.heat_no_c),
    ...wind(day.wind_kmh, levels),
    daysLeft(day.days_left, levels),
  ];
}

/** What a day comes to for one block, or for all: the worst check that nobody signed. */
export function verdict(
  found: readonly Check[],
  signed: ReadonlySet<string>,
  block: string | null = null,
): Colour {
  return found
    .filter((one) => block === null || one.block === null || one.block === block)
    .filter((one) => !isSigned(one, signed))
    .map(({ colour }) => colour)
    .reduce<Colour>((a, b) => (WORST.indexOf(b) > WORST.indexOf(a) ? b : a), "go");
}

/** A signature counts for a check that may be signed, and for no other. */
export function isSigned(check: Check, signed: ReadonlySet<string>): boolean {
  return check.may_be_signed && signed.has(check.key);
}

function check(what: string, colour: Colour, params: Params, block: string | null = null): Check {
  return {
    ...{ what, block, colour, params },
    key: block === null ? what : `${what}:${block}`,
    may_be_signed: colour !== "go" && !LAW.has(what),
  };
}

function law({ released, held, reentry }: Plants, planned: number): Check[] {
  const stands = [
    check("holds", held ? "no" : "go", {}),
    check("reentry", reentry ? "no" : "go", {}),
  ];
  if (released === null) return stands;
  return [check("released", released >= planned ? "go" : "no", { released, planned }), ...stands];
}

function graded(
  what: string,
  value: number | null,
  colour: (known: number) => Colour,
  params: Params,
): Check {
  if (value === null) return check(what, "cannot_tell", params);
  return check(what, colour(value), { ...params, value });
}

/** Less is worse: go at `go` or above, wait at `wait` or above. */
function falling(what: string, value: number | null, go: number, wait: number): Check {
  const colour = (known: number) => (known >= go ? "go" : known >= wait ? "wait" : "no");
  return graded(what, value, colour, { go, wait });
}

/** More is worse: go below `go`, no-go above `no`. */
function rising(what: string, value: number | null, go: number, no: number): Check {
  const colour = (known: number) => (known < go ? "go" : known <= no ? "wait" : "no");
  return graded(what, value, colour, { go, no });
}

function drySpell({ dry_spell_risk: risk, dry_spell_odds: odds }: Day, levels: Levels): Check {
  const found = rising("dry_spell", risk, levels.dry_spell_go, levels.dry_spell_no);
  return odds === null ? found : { ...found, params: { ...found.params, ...odds } };
}

/** Wind is judged where somebody forecast it (rule V-10). */
function wind(strongest: number | null, levels: Levels): Check[] {
  if (strongest === null) return [];
  return [rising("wind", strongest, levels.wind_go_kmh, levels.wind_no_kmh)];
}

function outlook(wet: number | null, { wet_days: go }: Levels): Check {
  const colour = (known: number) => (known >= go ? "go" : known > 0 ? "wait" : "no");
  return graded("outlook", wet, colour, { go });
}

function toughened(advice: Toughened | null): Check {
  if (advice === null) return check("toughened", "cannot_tell", {});
  const { doing, step, shade, reasons } = advice;
  const done = doing === "done" && reasons.length === 0;
  return check("toughened", done ? "go" : doing === "back" ? "no" : "wait", { step, shade });
}

function share(
  what: string,
  have: number,
  of: number,
  go: number,
  wait: number,
  block: string | null = null,
): Check {
  const colour = have >= go * of ? "go" : have >= wait * of ? "wait" : "no";
  return check(what, colour, { have, of }, block);
}

/** Roots that have circled do harm for years, yet less than a lost season: never a no-go. */
function pots(weeks: number | null): Check[] {
  return weeks === null ? [] : [check("pots_full", weeks >= 1 ? "wait" : "go", { weeks })];
}

function field(block: Block, { pits_wait }: Levels): Check[] {
  const { id, planned: of, pits: dug, nurse_cm, nurse_wanted_cm: wanted } = block;
  const pits =
    dug === null
      ? check("pits", "cannot_tell", { of }, id)
      : share("pits", dug, of, 1, pits_wait, id);
  return wanted === null ? [pits] : [pits, nurseRow(id, nurse_cm, wanted)];
}

function nurseRow(block: string, value: number | null, wanted: number): Check {
  if (value === null) return check("nurse_row", "cannot_tell", { wanted }, block);
  return check("nurse_row", value >= wanted ? "go" : "wait", { wanted, value }, block);
}

function people({ people: have, people_wanted: of }: Day): Check {
  if (have === null || of === null) return check("people", "cannot_tell", {});
  return check("people", have >= of ? "go" : "wait", { have, of });
}

function daysLeft(left: number | null, { days_go: go, days_wait: wait }: Levels): Check {
  const colour = (known: number) => (known > go ? "go" : known >= wait ? "wait" : "no");
  return graded("days_left", left, colour, { go, wait });
}

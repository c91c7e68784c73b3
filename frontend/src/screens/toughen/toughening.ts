/** Toughening as it stands in its form, and the records that it makes. */
import {
  advise,
  CLEAR,
  NOTHING_SEEN,
  type Advice,
  type Program,
  type Seen,
  type Told,
} from "../../log/toughening";
import type { Draft } from "../../log/write";

export const SAMPLE = 60;
export const WILT_SAMPLE = 20;

/** What is chosen to do; null follows the advice. */
export type Way = "forward" | "stay" | "back";

export interface Toughen {
  about: string[] | null;
  way: Way | null;
  /** Whether leaves were looked at, and what was seen of how many. */
  counted: boolean;
  scorched: number;
  of: number;
  tested: boolean;
  wilted: number;
  wiltOf: number;
}

export const BLANK: Toughen = {
  ...{ about: null, way: null },
  ...{ counted: false, scorched: 0, of: SAMPLE },
  ...{ tested: false, wilted: 0, wiltOf: WILT_SAMPLE },
};

/** What is known together with what stands in the form. */
export function seenWith(told: Told, form: Toughen): Seen {
  const seen = told.seen ?? NOTHING_SEEN;
  const checks = new Set(seen.checks);
  if (form.counted) checks.add("scorch");
  if (form.tested) checks.add("wilt");
  return {
    scorched: form.counted ? form.scorched : seen.scorched,
    scorched_of: form.counted ? form.of : seen.scorched_of,
    wilted: form.tested ? form.wilted : seen.wilted,
    wilted_of: form.tested ? form.wiltOf : seen.wilted_of,
    checks: [...checks],
  };
}

/** What to do with these plants; null before their first step. */
export function adviceOf(
  told: Told,
  program: Program,
  form: Toughen,
  today: string,
): Advice | null {
  if (told.at === null || told.since === undefined) return null;
  const standing = { at: told.at, since: told.since };
  return advise(program, standing, today, seenWith(told, form), told.sky ?? CLEAR);
}

/** What the main bar does: as chosen, else as advised. */
export function wayOf(form: Toughen, advice: Advice | null): Way {
  if (form.way !== null) return form.way;
  if (advice === null || advice.doing === "forward") return "forward";
  return advice.doing === "back" ? "back" : "stay";
}

/** What can be chosen: to begin; else to stay, to go back, and forward up to the last step. */
export function waysAt(at: number | null, program: Program): Way[] {
  if (at === null) return ["forward"];
  return at < program.steps.length - 1 ? ["forward", "stay", "back"] : ["stay", "back"];
}

/** How many plants a sample may have: no more than live, where anybody counted. */
export function mostOf(alive: readonly (number | null)[]): number {
  return alive.reduce<number>((sum, n) => sum + (n ?? 0), 0) || Infinity;
}

/** The step of the program that a way leads to. */
export function stepTo(at: number | null, way: Way, program: Program): number {
  const last = program.steps.length - 1;
  if (at === null) return 0;
  return Math.min(last, Math.max(0, at + { forward: 1, stay: 0, back: -1 }[way]));
}

/** The records: the wilt test first, then the step with what was counted. */
export function draftsOf(
  form: Toughen,
  told: Told,
  program: Program,
  way: Way,
  about: readonly string[],
): Draft[] {
  const step = program.steps[stepTo(told.at, way, program)];
  const counted = form.counted ? { scorched: form.scorched, of: form.of } : {};
  const hours = step?.sun_hours == null ? {} : { sun_hours: step.sun_hours };
  const body = { step: way, shade_percent: step?.shade_percent, program: told.program };
  const test = { wilted: form.wilted, of: form.wiltOf };
  return [
    ...(form.tested ? [{ kind: "wilted", about, body: test }] : []),
    { kind: "stepped", about, body: { ...body, ...hours, ...counted } },
  ];
}

/** Those that stand on the same step as the first, by the office's word and this phone's. */
export function together(
  all: readonly string[],
  at: (id: string) => { readonly program: string; readonly at: number | null } | null,
): string[] {
  const [first] = all.map(at).filter((one) => one !== null);
  return all.filter((id) => {
    const one = at(id);
    return one !== null && one.program === first?.program && one.at === first.at;
  });
}

/** What the office gives of permits and rules, and what it is told. */
import type { Key } from "../../words/catalogue";

/** One field of a rule, as the office describes it: a form is made from these alone. */
export interface FieldShape {
  readonly name: string;
  readonly kind: "count" | "number" | "name" | "flag" | "day" | "choice";
  readonly many: boolean;
  readonly needed: boolean;
  readonly default: unknown;
  readonly choices: readonly string[] | null;
}

export interface RuleShape {
  readonly rule: string;
  readonly fields: readonly FieldShape[];
}

export type Says = Readonly<Record<string, unknown>>;

/** One condition: a rule with its figures, since when it holds and where it is written. */
export interface Term {
  readonly id: string;
  readonly rule: string;
  readonly says: Says;
  readonly since: string;
  readonly source: string;
  readonly reaches_running?: boolean;
}

export interface Template {
  readonly id: string;
  readonly terms: readonly {
    readonly rule: string;
    readonly says: Says;
    /** Null where the figures are common practice without one. */
    readonly source: string | null;
  }[];
}

export interface PermitBody {
  readonly reference: string;
  readonly holder: string;
  readonly authority?: string | null;
  readonly valid_from?: string | null;
  readonly valid_to?: string | null;
  readonly crops?: readonly string[];
  readonly place?: string | null;
  readonly origin?: string | null;
  readonly form?: string | null;
  readonly treatments?: readonly string[];
  readonly declaration?: string | null;
  readonly terms?: readonly Term[];
}

/** A rule of the nursery's own. */
export interface OwnBody {
  readonly term: Term;
  readonly places?: readonly string[];
  readonly crops?: readonly string[];
}

export interface Row<B = Readonly<Record<string, unknown>>> {
  readonly id: string;
  readonly rev: number;
  readonly body: B;
}

export interface Papers {
  readonly permits: readonly Row<PermitBody>[];
  readonly consignments: readonly Row[];
  readonly own: readonly Row<OwnBody>[];
  readonly crops: readonly Row[];
  readonly pests: readonly Row[];
  readonly rules: readonly RuleShape[];
  readonly templates: readonly Template[];
}

/** Ids that this sheet has uses of its own for: no permit is made under them. */
export const OWN = "own-rules";
export const NEW = "new";
/** What of a permit is opened: one of its conditions, or a newer text of it. */
export const TERM = "term:";
export const AFTER = "after:";

/** The days of a permit in words, and the day on which they were over. */
export function validity(
  body: PermitBody,
  today: string,
): { key: Key; from: string | null; to: string | null; over: boolean } {
  const from = body.valid_from ?? null;
  const to = body.valid_to ?? null;
  const key: Key =
    from !== null && to !== null
      ? "permits.valid"
      : from !== null
        ? "permits.valid_after"
        : to !== null
          ? "permits.valid_until"
          : "permits.valid_always";
  return { key, from, to, over: to !== null && to < today };
}

/** The largest quantity that a permit states on a day; null where it states none. */
export function quantity(body: PermitBody, today: string): number | null {
  const said = (body.terms ?? [])
    .filter(({ rule, since }) => rule === "most_plants" && since <= today)
    .sort((a, b) => (a.since < b.since || (a.since === b.since && a.id < b.id) ? -1 : 1))
    .at(-1)?.says["plants"];
  return typeof said === "number" ? said : null;
}

/** Consignments under a permit, by their ids. */
export function under(permit: string, consignments: readonly Row[]): string[] {
  return consignments.filter(({ body }) => body["permit"] === permit).map(({ id }) => id);
}

/** Conditions of one rule stand together, in the order of the rules, the newest text first. */
export function ordered(terms: readonly Term[], rules: readonly RuleShape[]): Term[] {
  const turn = new Map(rules.map(({ rule }, i) => [rule, i]));
  const of = (term: Term): number => turn.get(term.rule) ?? rules.length;
  return [...terms].sort(
    (a, b) => of(a) - of(b) || b.since.localeCompare(a.since) || a.id.localeCompare(b.id),
  );
}

/** An id for a condition that no other in the nursery has: due checks are named after it. */
export function termId(owner: string, rule: string, taken: Iterable<string>): string {
  const used = new Set(taken);
  const stem = `${owner.slice(0, 36)}-${rule.replaceAll("_", "-")}`;
  let made = stem;
  for (let n = 2; used.has(made); n += 1) made = `${stem}-${n}`;
  return made;
}

/** Every id of a condition that is in use, of permits and of the nursery's own rules. */
export function termIds({ permits, own }: Pick<Papers, "permits" | "own">): string[] {
  return [
    ...permits.flatMap(({ body }) => (body.terms ?? []).map(({ id }) => id)),
    ...own.map(({ body }) => body.term.id),
  ];
}

/**
 * Who may treat where a licence is wanted, and which trainings of a place somebody lacks.
 *
 * Twin of `nursery/domain/licences.py` and `trainings.py`; `tests/vectors/qualified.json` keeps the
 * two alike. The label, local rules and licensed people decide; nothing here says that somebody may.
 */
import { byText } from "./entry";
import { verdict, type Verdict } from "./gate";
import { isInUse } from "./in-use";
import type { ProductRow } from "./products";

/** A training or a licence, as its paper says; without a last day it does not end. */
export interface Paper {
  readonly what: string;
  readonly number?: string | null;
  readonly since?: string | null;
  readonly until?: string | null;
}

export interface Worker {
  readonly id: string;
  readonly body: {
    readonly name: string;
    readonly since?: string | null;
    readonly until?: string | null;
    readonly trainings?: readonly Paper[] | null;
    readonly licences?: readonly Paper[] | null;
  };
}

/** Whether a paper is held on a day, and the day that says so. */
export interface Standing {
  readonly held: "in_date" | "not_yet" | "ended" | "missing";
  readonly day: string | null;
}

const EVER = "9999-12-31";
const begins = ({ since }: Paper): string => since ?? "";
const ends = ({ until }: Paper): string => until ?? EVER;

function standingOf(papers: readonly Paper[], on: string): Standing {
  const begun = papers.filter((paper) => begins(paper) <= on);
  if (begun.length === 0) {
    const [first = null] = papers.map(begins).sort();
    return { held: first === null ? "missing" : "not_yet", day: first };
  }
  const last = begun.map(ends).reduce((one, other) => (other > one ? other : one));
  if (on > last) return { held: "ended", day: last };
  return { held: "in_date", day: last === EVER ? null : last };
}

/** Rule O-2: any licence in date counts. */
export function licenceOf({ body }: Worker, on: string): Standing {
  return standingOf(body.licences ?? [], on);
}

/** Rule O-3: a training is asked for by its name, as people write it. */
export function trainingOf({ body }: Worker, what: string, on: string): Standing {
  const named = (body.trainings ?? []).filter((paper) => plain(paper.what) === plain(what));
  return standingOf(named, on);
}

function plain(name: string): string {
  return name.trim().toLowerCase();
}

/** The number of the licence that is good on a day, of several the one that is good for longest. */
export function numberOn({ body }: Worker, on: string): string | null {
  const good = (body.licences ?? []).filter((one) => begins(one) <= on && on <= ends(one));
  const [best] = [...good].sort((a, b) => byText(ends(b), ends(a)));
  return best?.number ?? null;
}

/** A licence is wanted by the product's row, or since an order is answered. */
export function isLicenceWanted(product: ProductRow | null, order: string | null): boolean {
  return order !== null || product?.body.licensed === true;
}

/** Who works here on a day with a licence in date on it, by name (rule O-4). */
export function mayTreat<W extends Worker>(people: readonly W[], on: string): W[] {
  return people
    .filter((one) => isInUse(one.body, on) && licenceOf(one, on).held === "in_date")
    .sort((a, b) => byText(a.body.name, b.body.name) || byText(a.id, b.id));
}

/** A training that a place wants of whoever goes in; without one that `stops` people stay out. */
export interface Wanted {
  readonly what: string;
  readonly stops: boolean;
}

interface Place {
  readonly body: Readonly<Record<string, unknown>>;
}

/** The trainings of a place and of all around it, of one name the strictest (rule O-5). */
export function wantedBy(places: readonly (Place | null)[]): Wanted[] {
  const found = new Map<string, Wanted>();
  for (const place of places) {
    const stops = place?.body["training_stops"] === true;
    for (const what of (place?.body["trainings"] ?? []) as readonly string[]) {
      const before = found.get(plain(what)) ?? { what, stops: false };
      found.set(plain(what), { ...before, stops: before.stops || stops });
    }
  }
  return [...found.values()];
}

/** Why somebody lacks a training, as a verdict: in the way, or told only. */
export interface Lack {
  readonly stops: boolean;
  readonly verdict: Verdict;
}

/** What somebody lacks on a day of what is wanted. */
export function lacking(person: Worker, wanted: readonly Wanted[], on: string): Lack[] {
  return wanted.flatMap(({ what, stops }) => {
    const { held, day } = trainingOf(person, what, on);
    if (held === "in_date") return [];
    const params = { name: person.body.name, what, day };
    const reason = `training_${held === "missing" ? "none" : held}`;
    const opens = { code: "when_trained", params };
    return [{ stops, verdict: verdict("no", reason, params, opens) }];
  });
}

const RENEWED = { code: "when_licensed", params: {} };

/** Why somebody is not to treat on a day where a licence is wanted; null where nothing is against it. */
export function againstLicence(person: Worker, on: string): Verdict | null {
  const { held, day } = licenceOf(person, on);
  const { name } = person.body;
  if (held === "in_date") return null;
  if (held === "missing") return verdict("no", "licence_none", { name }, RENEWED);
  if (held === "ended") return verdict("no", "licence_ended", { name, until: day }, RENEWED);
  return verdict("no", "licence_not_yet", { name, since: day }, RENEWED);
}

/** A look-over as its form has it, and the records that it makes. */
import type { Term } from "./bag";
import type { Instant } from "./entry";
import { msOf } from "./instant";
import type { Draft } from "./write";

export type LookAnswer = "nothing" | "found" | "not_looked";

/** One item of a checklist; of each batch so many `plants` are looked at for it, or all. */
export interface Asked {
  readonly id: string;
  readonly plants: number | null;
}

export interface Seen {
  readonly item: string;
  readonly answer: LookAnswer;
  readonly plants: number | null;
}

/** The checklist that a look goes through. */
export interface Through {
  readonly id: string;
  readonly version: number;
  readonly items: readonly Asked[];
}

export interface LookForm {
  /** When the sheet was opened; empty where it was not. */
  since: string;
  answer: LookAnswer | "";
  /** What differs from the plan, by item. */
  seen: Record<string, { answer: LookAnswer; plants: number | null }>;
  symptom: string;
  part: string;
  pest: string;
  /** Plants with the symptom. */
  sick: number;
  dead: number;
  /** Whether the dead are kept for the officer; null: as the conditions have it. */
  kept: boolean | null;
  why: string;
  /** Names of the pictures taken of what was found. */
  photos: string[];
}

export const BLANK: LookForm = {
  ...{ since: "", answer: "", seen: {}, symptom: "", part: "", pest: "" },
  ...{ sick: 0, dead: 0, kept: null, why: "", photos: [] },
};

export interface About {
  /** A batch, or a place in which nothing of ours stands. */
  readonly id: string;
  readonly alive: number | null;
  readonly check: string | null;
  readonly through: Through | null;
  readonly now: Instant;
  /** Whether the conditions keep dead plants for the officer. */
  readonly keeps: boolean;
  /** What is found is handled as a suspicion: the pest is on the permit's list. */
  readonly grave: boolean;
}

/** What is looked at: by the plan, and as far as a person said otherwise. */
export function planOf(
  { items }: Pick<Through, "items">,
  alive: number | null,
  said: LookForm["seen"] = {},
): Seen[] {
  return items.map(({ id, plants }) => {
    const usual = plants === null || alive === null ? (plants ?? alive) : Math.min(plants, alive);
    return { item: id, answer: "nothing", plants: usual, ...said[id] };
  });
}

/** Plants looked at in all: the most that any item was looked at on. */
export function plantsOf(plan: readonly Seen[], alive: number | null): number | null {
  if (plan.length === 0) return alive;
  const figures = plan
    .filter(({ answer }) => answer !== "not_looked")
    .map(({ plants }) => plants)
    .filter((plants) => plants !== null);
  return figures.length === 0 ? null : Math.max(...figures);
}

/** A sheet that lay open for longer was left alone; nobody looked for so long. (Choice of the product.) */
const MOST_MINUTES = 180;

/** Of what is seen on a plant, what says of what it died. */
const CAUSES: ReadonlySet<string> = new Set(["stem_rot", "root_rot"]);

/** Minutes since the sheet was opened; below one with its tenths. Null where nobody can say. */
export function minutesOf(since: string, now: Instant): number | null {
  if (since === "") return null;
  const minutes = (msOf(now) - msOf(since)) / 60_000;
  if (minutes < 0 || minutes > MOST_MINUTES) return null;
  return minutes < 1 ? Math.round(minutes * 10) / 10 : Math.round(minutes);
}

/** The records of one look, saved in one act: what was seen, what was found, what died. */
export function lookDrafts(form: LookForm, about: About): Draft[] {
  const { id } = about;
  if (form.answer !== "found")
    return [{ kind: "looked", about: [id], body: lookedBody(form, about) }];
  const { symptom, part, pest, sick, dead, kept } = form;
  const told = { ...text({ symptom, part, pest }), ...(sick > 0 ? { plants: sick } : {}) };
  const named = Object.keys(text({ symptom, part, pest })).length > 0;
  const loss = {
    ...{ count: dead, fate: "died", ...text({ cause: CAUSES.has(symptom) ? symptom : "" }) },
    ...{ kept: kept ?? about.keeps, by_auditor: false },
  };
  return [
    { kind: "looked", about: [id], body: lookedBody(form, about) },
    ...(named || about.grave
      ? [{ kind: "found", about: [id], body: { suspicion: about.grave, ...told } }]
      : []),
    ...(dead > 0 ? [{ kind: "lost", about: [id], body: loss }] : []),
  ];
}

function lookedBody(form: LookForm, { alive, check, through, now }: About): Draft["body"] {
  const { answer, why, seen, since } = form;
  const named = check === null ? {} : { check };
  if (answer === "not_looked") return { answer, ...text({ why }), ...named };
  const plan = through === null ? [] : planOf(through, alive, seen);
  const minutes = minutesOf(since, now);
  const plants = plantsOf(plan, alive);
  // Nobody said in which of them it was: then no item tells anything.
  const told = answer === "nothing" || plan.some((one) => one.answer === "found");
  const list = through === null ? {} : { checklist: through.id, version: through.version };
  return {
    answer,
    ...figures({ plants, minutes }),
    ...list,
    ...(told && through !== null ? { items: plan.map(itemOf) } : {}),
    ...named,
  };
}

function itemOf({ item, answer, plants }: Seen): object {
  return { item, answer, ...(answer === "not_looked" ? {} : figures({ plants })) };
}

/** Without what says nothing. */
function text(given: Readonly<Record<string, string>>): Record<string, string> {
  return Object.fromEntries(Object.entries(given).filter(([, value]) => value !== ""));
}

function figures(given: Readonly<Record<string, number | null>>): Record<string, number> {
  const said = Object.entries(given).filter(([, value]) => value !== null);
  return Object.fromEntries(said) as Record<string, number>;
}

/** Pests that some text lists: a listing counts from its date on, whatever the clock (rule T-3). */
export function listed(terms: readonly Term[], today: string): ReadonlySet<unknown> {
  return new Set(
    terms
      .filter(({ rule, since }) => rule === "listed" && since <= today)
      .flatMap(({ says }) => (Array.isArray(says["pests"]) ? (says["pests"] as unknown[]) : [])),
  );
}

/** A treatment as it stands in its form, and the record that it makes. */
import { byText, type Entry, type Instant } from "../../log/entry";
import { inUse, mixOf, rowOf, type ProductBody, type ProductRow } from "../../log/products";
import { amounts, hoursOf, reentry, type Amounts, type Spell } from "../../log/spell";
import { standing } from "../../log/timeline";
import type { Draft } from "../../log/write";
import { figureText, readNumber } from "../../words/forms";
import type { When } from "../acts/when";

export const UNITS = ["mL", "g"] as const;
export type Unit = (typeof UNITS)[number];

/** Figures on the board: area in m², mix in mL for each m², product in a litre of mix, hours. */
export const FIGURES = ["area", "mix", "rate", "hours"] as const;
export type Figure = (typeof FIGURES)[number];

export interface Treating {
  product: string;
  active: string;
  registration: string;
  batchNumber: string;
  figures: Record<string, string>;
  unit: Unit;
  /** Null as long as nobody chose; empty where it answers none. */
  order: string | null;
  operator: string;
  licence: string;
  told: string[];
  when: Pick<When, "day" | "on">;
  /** Figures of the hours at which the sign went up, work began and ended. */
  clock: Record<string, string>;
  /** Batches of a place that were left out, or that go along with one batch. */
  turned: string[];
}

export function blank(areaM2: number | null, mark: string): Treating {
  const area = areaM2 === null ? "" : figureText(areaM2, mark);
  return {
    ...{ product: "", active: "", registration: "", batchNumber: "" },
    figures: { area, mix: "", rate: "", hours: "" },
    ...{ unit: "mL", order: null, operator: "", licence: "", told: [] },
    when: { day: "today", on: null },
    clock: { sign: "", start: "", end: "" },
    turned: [],
  };
}

/** A figure of the form; null where none is typed, or where it can be read in two ways. */
export function figureOf(form: Pick<Treating, "figures">, name: Figure): number | null {
  const value = readNumber(form.figures[name] ?? "");
  return typeof value === "number" ? value : null;
}

/** What is typed and cannot be read. */
export function unreadOf({ figures }: Pick<Treating, "figures">): string | null {
  const texts = FIGURES.map((name) => figures[name] ?? "").filter((text) => text !== "");
  return texts.find((text) => typeof readNumber(text) !== "number") ?? null;
}

export function amountsOf(form: Treating): Amounts {
  return amounts(figureOf(form, "area"), figureOf(form, "mix"), figureOf(form, "rate"));
}

/** What a record of a treatment should tell and this one does not. */
export type Asked =
  | ("active" | "registration" | "mix" | "rate" | "operator" | "licence")
  | ("told" | "sign" | "hours");

export function missingOf(form: Treating, { signAt }: Spell): Asked[] {
  const said: Readonly<Record<Asked, boolean>> = {
    active: form.active.trim() !== "",
    registration: form.registration.trim() !== "",
    mix: figureOf(form, "mix") !== null,
    rate: figureOf(form, "rate") !== null,
    operator: form.operator !== "",
    licence: form.licence.trim() !== "",
    told: form.told.length > 0,
    sign: signAt !== null,
    hours: figureOf(form, "hours") !== null,
  };
  return (Object.keys(said) as Asked[]).filter((one) => !said[one]);
}

/** From when on people may go in again; null where hours or the end are not said. */
export function opensAt(form: Treating, { endedAt }: Spell): Instant | null {
  const hours = figureOf(form, "hours");
  return endedAt === null || hours === null ? null : reentry(endedAt, hours);
}

/** The record; null as long as product, start or end are missing. It happened when it ended. */
export function draftOf(form: Treating, spell: Spell, about: readonly string[]): Draft | null {
  const { startedAt, endedAt, signAt } = spell;
  if (form.product.trim() === "" || startedAt === null || endedAt === null) return null;
  const { litres } = amountsOf(form);
  const body = {
    product: form.product.trim().slice(0, LONGEST),
    started_at: startedAt,
    ended_at: endedAt,
    reentry_until: opensAt(form, spell),
    active: form.active.trim(),
    registration: form.registration.trim(),
    rate: rateOf(form),
    litres,
    area_m2: figureOf(form, "area"),
    batch_number: form.batchNumber.trim(),
    operator: form.operator,
    licence: form.licence.trim(),
    told: [...form.told],
    sign_posted_at: signAt,
    order: form.order,
  };
  return { kind: "treated", about, body: said(body), occurredAt: endedAt };
}

const LONGEST = 64;

/** Product in a litre of mix, and mix on a square metre. */
function rateOf(form: Treating): string {
  const [mix, rate] = [figureOf(form, "mix"), figureOf(form, "rate")];
  return [
    ...(rate === null ? [] : [`${rate} ${form.unit}/L`]),
    ...(mix === null ? [] : [`${mix} mL/m²`]),
  ].join(", ");
}

/** Without what nobody said. */
function said(body: Readonly<Record<string, unknown>>): Draft["body"] {
  const empty = (value: unknown): boolean =>
    value === null || value === "" || (Array.isArray(value) && value.length === 0);
  return Object.fromEntries(Object.entries(body).filter(([, value]) => !empty(value)));
}

/** A product as it was used before: what its label says is typed once. */
export interface Used {
  readonly product: string;
  readonly active: string;
  readonly registration: string;
  readonly batchNumber: string;
  readonly hours: number | null;
  readonly rate: number | null;
  readonly mix: number | null;
  readonly unit: Unit;
}

interface Treated {
  readonly product: string;
  readonly ended_at: string;
  readonly reentry_until?: string | null;
  readonly active?: string | null;
  readonly registration?: string | null;
  readonly batch_number?: string | null;
  readonly rate?: string | null;
  readonly operator?: string | null;
  readonly licence?: string | null;
}

/** Each product once, the one used last first. */
export function usedBefore(entries: Iterable<Entry>): Used[] {
  const latest = bodies(entries).reverse();
  const first = ({ product }: Treated): number =>
    latest.findIndex((other) => other.product === product);
  return latest.filter((body, i) => first(body) === i).map(usedOf);
}

/** Under which licence each person applied last. */
export function licences(entries: Iterable<Entry>): ReadonlyMap<string, string> {
  const said = bodies(entries).flatMap(({ operator, licence }) =>
    operator && licence ? [[operator, licence] as const] : [],
  );
  return new Map(said);
}

function bodies(entries: Iterable<Entry>): Treated[] {
  return standing(entries).entries.flatMap((entry) =>
    entry.kind === "treated" ? [entry.body as Treated] : [],
  );
}

const RATE = /(\d+(?:\.\d+)?) (mL|g)\/L/;
const MIX = /(\d+(?:\.\d+)?) mL\/m²/;

function usedOf(body: Treated): Used {
  const rate = RATE.exec(body.rate ?? "");
  const mix = MIX.exec(body.rate ?? "");
  return {
    product: body.product,
    active: body.active ?? "",
    registration: body.registration ?? "",
    batchNumber: body.batch_number ?? "",
    hours: hoursOf(body.ended_at, body.reentry_until ?? null),
    rate: rate ? Number(rate[1]) : null,
    mix: mix ? Number(mix[1]) : null,
    unit: rate?.[2] === "g" ? "g" : "mL",
  };
}

/** The form with what the label of a product said when it was used last; the batch number is new. */
export function withUsed(form: Treating, used: Used, mark: string): Partial<Treating> {
  const { product, active, registration, unit } = used;
  const figure = (value: number | null): string => (value === null ? "" : figureText(value, mark));
  const figures = {
    ...form.figures,
    mix: figure(used.mix),
    rate: figure(used.rate),
    hours: figure(used.hours),
  };
  return { product, active, registration, batchNumber: used.batchNumber, unit, figures };
}

/** Products to choose from: used last first, then the rows that nobody used yet, by name. */
export function offered(used: readonly Used[], rows: readonly ProductRow[], today: string): Used[] {
  const before = new Map<string, Used>();
  for (const one of used) {
    const row = rowOf(one.product, rows);
    const told = row ? withRow(one, row.body) : one;
    if (!before.has(told.product)) before.set(told.product, told);
  }
  const kept = inUse(rows, today).sort((a, b) => byText(a.body.name, b.body.name));
  const over = new Set(rows.filter((row) => !kept.includes(row)).map(({ body }) => body.name));
  const lately = [...before.values()].filter(({ product }) => !over.has(product));
  const fresh = kept.map(({ body }) => withRow(NEVER_USED, body));
  const known = new Set(lately.map(({ product }) => product));
  return [...lately, ...fresh.filter(({ product }) => !known.has(product) && known.add(product))];
}

const NEVER_USED: Used = {
  ...{ product: "", active: "", registration: "", batchNumber: "" },
  ...{ hours: null, rate: null, mix: null, unit: "mL" },
};

/** What the row says stands above what was written last; where it is silent, that stays. */
function withRow(used: Used, body: ProductBody): Used {
  const perLitre = body.per_litre ?? null;
  return {
    ...used,
    product: body.name,
    active: body.active ?? used.active,
    registration: body.registration ?? used.registration,
    hours: body.reentry_hours ?? used.hours,
    mix: mixOf(body) ?? used.mix,
    rate: perLitre ?? used.rate,
    unit: perLitre === null ? used.unit : (body.unit ?? "mL"),
  };
}

/** A product's row as it is being typed, what is wrong with it, and the row that it makes. */
import { mixOf, sameName, type ProductBody, type ProductRow, type Unit } from "../../log/products";
import { figureText, number, readNumber } from "../../words/forms";

/** Named as the fields of the row are, so that what the office turns down finds its place. */
export interface Typing {
  name: string;
  active: string;
  registration: string;
  reentry_hours: string;
  interval_days: string;
  /** In millilitres, as people measure it. */
  litres_per_m2: string;
  per_litre: string;
  unit: Unit;
  licensed: boolean;
  cautions: string;
}

export const FIGURES = ["reentry_hours", "interval_days", "litres_per_m2", "per_litre"] as const;
export type Figure = (typeof FIGURES)[number];

export function typingOf(body: ProductBody | null, mark: string): Typing {
  const text = (value: string | null | undefined): string => value ?? "";
  const figure = (value: number | null | undefined): string =>
    typeof value === "number" ? figureText(value, mark) : "";
  return {
    name: text(body?.name),
    active: text(body?.active),
    registration: text(body?.registration),
    reentry_hours: figure(body?.reentry_hours),
    interval_days: figure(body?.interval_days),
    litres_per_m2: figure(body ? mixOf(body) : null),
    per_litre: figure(body?.per_litre),
    unit: body?.unit ?? "mL",
    licensed: body?.licensed ?? false,
    cautions: text(body?.cautions),
  };
}

/** The figure in a field; null where none stands there or none can be read. */
export function figureOf(typing: Pick<Typing, Figure>, name: Figure): number | null {
  const value = readNumber(typing[name]);
  return typeof value === "number" ? value : null;
}

/** What is wrong with a field, by the end of its word's key. */
export type Wrong = "no_figure" | "two_ways" | "no_nought" | "not_whole" | "no_name" | "twice";

export function wrongOf(typing: Typing, others: readonly ProductRow[]): Map<keyof Typing, Wrong> {
  const found = new Map<keyof Typing, Wrong>();
  if (typing.name.trim() === "") found.set("name", "no_name");
  else if (others.some(({ body }) => sameName(body.name, typing.name))) found.set("name", "twice");
  for (const name of FIGURES) {
    const wrong = wrongFigure(name, typing[name].trim());
    if (wrong !== null) found.set(name, wrong);
  }
  return found;
}

function wrongFigure(name: Figure, text: string): Wrong | null {
  if (text === "") return null;
  const value = readNumber(text);
  if (value === null) return "no_figure";
  if (value === "ask") return "two_ways";
  if (name === "interval_days" && !Number.isInteger(value)) return "not_whole";
  const amount = name === "litres_per_m2" || name === "per_litre";
  return amount && value === 0 ? "no_nought" : null;
}

/** The row; what is empty is left out, and what this form does not show stays as it was. */
export function bodyOf(typing: Typing, before: ProductBody | null): ProductBody {
  const text = (value: string): string | null => (value.trim() === "" ? null : value.trim());
  const mix = figureOf(typing, "litres_per_m2");
  const body = {
    ...before,
    name: typing.name.trim().split(/\s+/).join(" "),
    active: text(typing.active),
    registration: text(typing.registration),
    reentry_hours: figureOf(typing, "reentry_hours"),
    interval_days: figureOf(typing, "interval_days"),
    litres_per_m2: mix === null ? null : Math.round(mix * 1000) / 1e6,
    per_litre: figureOf(typing, "per_litre"),
    unit: typing.unit,
    licensed: typing.licensed,
    cautions: text(typing.cautions),
  };
  return Object.fromEntries(
    Object.entries(body).filter(([, value]) => value !== null),
  ) as unknown as ProductBody;
}

/** `200 mL/m², 1.5 mL/L`: how much goes on, as far as the row says. */
export function rateOf(body: ProductBody, mark: string): string {
  const mix = mixOf(body);
  return [
    ...(mix === null ? [] : [`${number(mix, mark)} mL/m²`]),
    ...(typeof body.per_litre === "number"
      ? [`${number(body.per_litre, mark)} ${body.unit ?? "mL"}/L`]
      : []),
  ].join(", ");
}

/**
 * A rule in words: each of its fields by the sentence that the catalogue has for it.
 *
 * Its twin for paper is `nursery/paper/release_terms.py`; `tests/vectors/terms.json` holds both.
 */
import { number } from "../../words/forms";
import type { Named } from "../batch/telling";
import type { FieldShape, RuleShape, Says } from "./shapes";

export interface Voice {
  readonly word: (key: string, params?: Readonly<Record<string, unknown>>) => string | null;
  readonly join: (items: readonly string[]) => string;
  readonly mark: string;
  readonly nameOf: (type: Named, id: string) => string;
}

/** Fields that people read in per cent; the book keeps shares. */
const SHARES: ReadonlySet<string> = new Set(["share", "prevalence", "confidence", "efficacy"]);

export const inPercent = (field: string): boolean => SHARES.has(field);

/** `0.05` as 5: rounded to what a person typed. */
export function percent(share: number): number {
  return Math.round(share * 1e8) / 1e6;
}

export function titleOf(rule: string, { word }: Pick<Voice, "word">): string {
  return word(`rule.${rule}`) ?? word("rule.other") ?? rule;
}

export function labelOf(rule: string, field: string, { word }: Pick<Voice, "word">): string {
  return word(`rule_field.${rule}.${field}`) ?? word(`rule_field.${field}`) ?? plain(field);
}

/** What a rule says, field after field; a field that says nothing is left out. */
export function saidBy(shape: RuleShape, says: Says, voice: Voice): string {
  return shape.fields
    .map((field) => part(shape.rule, field, says[field.name] ?? field.default, voice))
    .filter((one) => one !== null)
    .join(", ");
}

function part(rule: string, field: FieldShape, value: unknown, voice: Voice): string | null {
  const { word } = voice;
  const said = (more: string, params?: Readonly<Record<string, unknown>>): string | null =>
    word(`rule_part.${rule}.${field.name}${more}`, params) ??
    word(`rule_part.${field.name}${more}`, params);
  const empty = value === null || value === undefined || (Array.isArray(value) && !value.length);
  if (empty || value === false) return said("_not");
  if (value === true) return said("");
  const items = (Array.isArray(value) ? value : [value]).map((one) => one as string | number);
  const v = voice.join(items.map((one) => oneOf(field, one, voice)));
  const [first] = items;
  const n = typeof first !== "number" ? null : inPercent(field.name) ? percent(first) : first;
  return said("", n === null ? { v } : { v, n }) ?? `${labelOf(rule, field.name, voice)}: ${v}`;
}

function oneOf(field: FieldShape, value: string | number, voice: Voice): string {
  if (field.kind === "count" && field.many) return voice.word(`date.weekday_long.${value}`) ?? "";
  if (typeof value === "number") return number(value, voice.mark);
  if (field.kind === "day") return voice.word("on_day", { on: value }) ?? value;
  if (field.kind === "choice") return voice.word(`rule_choice.${value}`) ?? plain(value);
  return nameIn(field.name, value, voice);
}

const FAMILIES: Readonly<Record<string, string>> = {
  acts: "act",
  fates: "fate_word",
  what: "reading",
  whom: "term",
  test: "test",
};

/** A name that a rule states: of an act, a fate, a reading, a pest, or as it was typed. */
export function nameIn(field: string, value: string, { word, nameOf }: Voice): string {
  if (field === "pest" || field === "pests") return nameOf("pest", value);
  const family = FAMILIES[field];
  return (family && word(`${family}.${value}`)) ?? value;
}

/** A code without a word of its own is at least no code. */
function plain(code: string): string {
  return code.replaceAll("_", " ");
}

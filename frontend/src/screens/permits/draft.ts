/** A condition as it is being typed, and the figures that it states once it is. */
import { number, readNumber } from "../../words/forms";
import { inPercent, percent } from "./inwords";
import type { FieldShape, RuleShape, Says } from "./shapes";

/** Figures stay as they were typed until the whole is sent. */
export type Typed = string | boolean | readonly string[];
export type Draft = Readonly<Record<string, Typed>>;

/** What stands in the fields of a form at first. */
export function draftOf(shape: RuleShape, says: Says, mark: string): Draft {
  return Object.fromEntries(
    shape.fields.map((field) => [field.name, typedOf(field, says[field.name], mark)]),
  );
}

function typedOf(field: FieldShape, said: unknown, mark: string): Typed {
  const value = said ?? field.default;
  if (field.kind === "flag") return value === true;
  if (field.many) return Array.isArray(value) ? value.map(String) : [];
  if (typeof value === "number") {
    const figure = inPercent(field.name) ? percent(value) : value;
    return number(figure, mark).replace(/\u00a0/g, "");
  }
  return typeof value === "string" ? value : "";
}

export interface Filled {
  readonly says: Says;
  /** Fields that must be filled in and are not, and those whose text is no figure. */
  readonly missing: readonly string[];
  readonly odd: readonly string[];
}

/** What a form states; what is left empty is left out, as is what the rule says by itself. */
export function filled(shape: RuleShape, draft: Draft): Filled {
  const says: Record<string, unknown> = {};
  const missing: string[] = [];
  const odd: string[] = [];
  for (const field of shape.fields) {
    const typed = draft[field.name] ?? "";
    const value = valueOf(field, typed);
    if (value === undefined) odd.push(field.name);
    else if (value === null || (Array.isArray(value) && value.length === 0)) {
      if (field.needed) missing.push(field.name);
    } else if (value !== field.default || field.needed) says[field.name] = value;
  }
  return { says, missing, odd };
}

/** The value of one field; null where nothing was typed, undefined where it is no figure. */
function valueOf(field: FieldShape, typed: Typed): unknown {
  if (typeof typed === "boolean") return typed;
  const figures = field.kind === "count" || field.kind === "number";
  if (typeof typed !== "string") return figures ? typed.map(Number).sort((a, b) => a - b) : typed;
  const text = typed.trim();
  if (text === "") return null;
  if (!figures) return text;
  const figure = readFigure(text);
  if (figure === null) return undefined;
  return inPercent(field.name) ? Math.round(figure * 1e6) / 1e8 : figure;
}

/** As `readNumber`, and below nought: thresholds of warmth may be. */
function readFigure(text: string): number | null {
  const below = /^[-−]/.test(text);
  const read = readNumber(below ? text.slice(1) : text);
  return typeof read !== "number" ? null : below ? -read : read;
}

/** The field that the office turned down, and what it read there. */
export function turnedDown(
  params: Readonly<Record<string, unknown>> | undefined,
): { field: string; value: string | null } | null {
  const field = params?.["field"];
  if (typeof field !== "string") return null;
  const value = params?.["value"];
  const [head = "", inner] = field.split(".");
  const name = (head === "says" ? inner : head) ?? head;
  return { field: name, value: typeof value === "string" ? value : null };
}

/** Several short texts in one line, a semicolon between them. */
export function several(text: string): string[] {
  return text
    .split(";")
    .map((one) => one.trim())
    .filter((one) => one !== "");
}

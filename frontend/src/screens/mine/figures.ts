/** The figures in a record's body, so that each can be put right on its own. */
import type { Body } from "../batch/telling";

export type Path = readonly (string | number)[];

export interface Figure {
  readonly path: Path;
  /** The field that it stands in. */
  readonly field: string;
  /** What it is of, where a record has several: an instrument's figure, a pest, a batch. */
  readonly of: string | null;
  readonly value: number;
}

/** Fields that are no figures of what happened. */
const NONE: ReadonlySet<string> = new Set(["version", "width", "height", "cells"]);
/** What tells one of several from the others. */
const NAMES = ["what", "pest", "id", "item", "tag", "position"] as const;

export function figuresOf(body: Body): Figure[] {
  return Object.entries(body).flatMap(([field, value]) => {
    if (NONE.has(field)) return [];
    if (typeof value === "number") return [{ path: [field], field, of: null, value }];
    return Array.isArray(value) ? value.flatMap((one, i) => within(field, i, one)) : [];
  });
}

function within(list: string, i: number, one: unknown): Figure[] {
  if (typeof one !== "object" || one === null) return [];
  const fields = one as Readonly<Record<string, unknown>>;
  const name = NAMES.map((key) => fields[key]).find((found) => typeof found === "string");
  return Object.entries(fields).flatMap(([field, value]) =>
    typeof value === "number" && !NONE.has(field)
      ? [{ path: [list, i, field], field, of: name ?? null, value }]
      : [],
  );
}

/** The body with another figure. */
export function withFigure(body: Body, path: Path, value: number): Body {
  return replaced(body, path, value) as Body;
}

function replaced(value: unknown, [key, ...rest]: Path, figure: number): unknown {
  if (key === undefined) return figure;
  if (Array.isArray(value)) {
    return value.map((one: unknown, i) => (i === key ? replaced(one, rest, figure) : one));
  }
  const fields = value as Readonly<Record<string, unknown>>;
  return { ...fields, [key]: replaced(fields[key], rest, figure) };
}

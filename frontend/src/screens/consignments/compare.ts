/** The certificate of a consignment beside its permit, as the office compares the two. */
import type { Key } from "../../words/catalogue";

export const HELDS = ["same", "different", "missing", "not_asked"] as const;
export type Held = (typeof HELDS)[number];

/** One field of both papers, as they were typed. */
export interface Field {
  readonly field: string;
  readonly held: Held;
  readonly permit: unknown;
  readonly certificate: unknown;
}

const SUMS = ["different", "missing", "same"] as const;

/** How many fields differ, are missing, are the same: what wants a look first. */
export function sums(fields: readonly Field[]): { key: Key; n: number }[] {
  return SUMS.map((held) => ({
    key: `certificate.sum.${held}` as const,
    n: fields.filter((one) => one.held === held).length,
  })).filter(({ n }) => n > 0);
}

interface Voice {
  readonly say: (key: Key, params?: Readonly<Record<string, unknown>>) => string;
}

/** What one paper says in a field, one text after the other; empty where it says nothing. */
export function textsOf(field: string, value: unknown, { say }: Voice): string[] {
  if (value === null || value === undefined) return [];
  const some: readonly unknown[] = Array.isArray(value) ? value : [value];
  return some.map((one) => {
    if (field === "days") return one === null ? "…" : say("on_day", { on: one });
    return typeof one === "number" ? say("figure", { figure: one }) : String(one);
  });
}

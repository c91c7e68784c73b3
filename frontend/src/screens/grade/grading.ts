/** Grading as it stands in its form, and the records that it makes. */
import type { Entry } from "../../log/entry";
import { standing } from "../../log/timeline";
import type { Draft } from "../../log/write";

export const GRADES = ["a", "b", "c"] as const;

export interface Grading {
  /** Figures as they are typed; B is what is left as long as nobody typed it. */
  grades: Record<string, string>;
  cause: string;
}

export const BLANK: Grading = { grades: {}, cause: "j_root" };

export interface Grades {
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

/** The grades that are meant; null as long as nobody typed how many plants are A. */
export function gradesOf({ grades }: Grading): Grades | null {
  const a = grades["a"] ?? "";
  if (a === "") return null;
  return { a: Number(a), b: Number(grades["b"] ?? 0), c: Number(grades["c"] ?? 0) };
}

export const sumOf = ({ a, b, c }: Grades): number => a + b + c;

/** The grading, and the loss of those that are culled: the account balances with both. */
export function draftsOf(id: string, grades: Grades, cause: string, kept: boolean): Draft[] {
  const culled = { count: grades.c, fate: "culled", cause, kept, by_auditor: false };
  return [
    { kind: "graded", about: [id], body: { ...grades } },
    ...(grades.c > 0 ? [{ kind: "lost", about: [id], body: culled }] : []),
  ];
}

/** The last grading that stands for a batch, among its records. */
export function gradedBy(entries: Iterable<Entry>): Grades | null {
  const found = standing(entries).entries.filter(
    (entry) => entry.kind === "other" && entry.named === "graded",
  );
  const last = found.at(-1)?.body as Partial<Grades> | undefined;
  return last === undefined ? null : { a: last.a ?? 0, b: last.b ?? 0, c: last.c ?? 0 };
}

/** All together. */
export function total(some: readonly Grades[]): Grades {
  return some.reduce((sum, one) => ({ a: sum.a + one.a, b: sum.b + one.b, c: sum.c + one.c }), {
    ...{ a: 0, b: 0, c: 0 },
  });
}

export interface Least {
  readonly measure: string;
  readonly low: number;
}

/** What the crop's row asks of an A plant, measure by measure. */
export function leastOf(
  crop: { readonly body: Readonly<Record<string, unknown>> } | null,
): readonly Least[] {
  const profile = crop?.body["profile"] as
    { readonly least?: Readonly<Record<string, { readonly low: number }>> } | null | undefined;
  return Object.entries(profile?.least ?? {}).map(([measure, { low }]) => ({ measure, low }));
}

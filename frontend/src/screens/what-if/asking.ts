/** What is supposed, and what the office answers: nothing of either is ever written. */
import type { Reason } from "../../net/views";

export const KINDS = ["consignment", "inspection", "treatment", "notice"] as const;
export type What = (typeof KINDS)[number];

export interface Days {
  readonly earliest: string | null;
  readonly together: string | null;
  readonly notice: string | null;
}

/** A batch whose release would be another one; `before` is null of what comes in. */
export interface Moved {
  readonly id: string;
  readonly label: string | null;
  readonly before: Days | null;
  readonly after: Days;
  readonly n: number | null;
  readonly season: readonly Reason[];
}

export interface Told extends Reason {
  readonly answer: Answer;
}

export type Answer = "yes" | "wait" | "cannot_tell" | "no";

export interface Followed {
  readonly as_of_seq: number;
  readonly on: string;
  readonly answer: Answer;
  readonly reasons: readonly Told[];
  readonly batches: readonly Moved[];
}

/** Batches whose days are the same before and after are told in one line. */
export interface Group extends Omit<Moved, "id" | "label" | "n"> {
  readonly ids: readonly string[];
  readonly labels: readonly string[];
}

export function grouped(batches: readonly Moved[]): Group[] {
  const found = new Map<string, Group>();
  for (const { id, label, before, after, season } of batches) {
    const key = JSON.stringify([before, after, season]);
    const group = found.get(key) ?? { ids: [], labels: [], before, after, season };
    const labels = label === null ? group.labels : [...group.labels, label];
    found.set(key, { ...group, ids: [...group.ids, id], labels });
  }
  return [...found.values()];
}

/** What a season says of several groups is said once. */
export function seasons(groups: readonly Group[]): Reason[] {
  const all = groups.flatMap(({ season }) => season);
  return [...new Map(all.map((one) => [JSON.stringify(one), one])).values()];
}

interface Waiting {
  readonly id: string;
  readonly closed: boolean;
  readonly consignment: string | null;
  readonly released: unknown;
  readonly outlook?: { readonly clock: unknown } | null;
  readonly record?: { readonly orders?: readonly Ordered[] };
}

interface Ordered {
  readonly act: string;
  readonly reference: string;
  readonly after_treatment?: number | null;
}

/** Living batches that wait for a release, by their consignment. */
export function waiting(batches: readonly Waiting[]): Map<string, string[]> {
  const found = new Map<string, string[]>();
  for (const { id, closed, consignment, released, outlook } of batches) {
    if (closed || released || !outlook?.clock || consignment === null) continue;
    found.set(consignment, [...(found.get(consignment) ?? []), id]);
  }
  return found;
}

/** Orders that ask for treatments, of any living batch. */
export function toTreat(batches: readonly Waiting[]): string[] {
  const some = batches
    .filter(({ closed }) => !closed)
    .flatMap(({ record }) => record?.orders ?? [])
    .filter(({ act, after_treatment: after }) => act === "treat" || Boolean(after));
  return [...new Set(some.map(({ reference }) => reference))].sort();
}

/** What the form holds; figures are as they were read, null where none can be read. */
export interface Form {
  readonly what: What;
  readonly on: string | null;
  readonly plants: number | null;
  readonly crop: string;
  readonly container: string;
  readonly room: string;
  readonly permit: string;
  readonly days: number | null;
  readonly batches: readonly string[];
  readonly order: string;
}

export type Supposed = Readonly<Record<string, unknown>>;

/** One supposition as the office reads it; null as long as something that it needs is missing. */
export function supposed(form: Form): Supposed | null {
  const { what, on } = form;
  if (on === null) return null;
  if (what === "notice") return { what, on };
  if (what === "treatment") return form.order === "" ? null : { what, on, order: form.order };
  if (what === "inspection") {
    return form.batches.length === 0 ? null : { what, on, batches: form.batches };
  }
  if (form.plants === null || form.room === "") return null;
  return {
    ...{ what, on, plants: form.plants, room: form.room },
    ...(form.crop === "" ? {} : { crop: form.crop }),
    ...(form.container === "" ? {} : { container: form.container }),
    ...(form.permit === "" ? {} : { permit: form.permit }),
    ...(form.permit === "" && form.days !== null ? { days: form.days } : {}),
  };
}

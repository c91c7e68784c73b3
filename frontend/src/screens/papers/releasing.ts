/** A release notice as it stands in its form, and the record that it makes. */
import type { Instant } from "../../log/entry";
import type { Draft } from "../../log/write";

export interface Releasing {
  notice: string;
  photos: string[];
  conditions: string;
  /** The figure for the whole, as it stands on the paper; empty where it gives none. */
  total: string;
  about: string[] | null;
  /** How many of each batch, where the paper says another figure than lives. */
  counts: Record<string, string>;
}

export const NO_NOTICE: Releasing = {
  ...{ notice: "", photos: [], conditions: "", total: "", about: null, counts: {} },
};

export interface Alive {
  readonly id: string;
  readonly label: string | null;
  readonly alive: number | null;
}

/** So many of a batch by the notice: as it was typed, else all that live. */
export function saidOf({ counts }: Pick<Releasing, "counts">, { id, alive }: Alive): number {
  const typed = counts[id] ?? "";
  return typed === "" ? (alive ?? 0) : Number(typed);
}

export function sumOf(form: Pick<Releasing, "counts">, batches: readonly Alive[]): number {
  return batches.reduce((sum, batch) => sum + saidOf(form, batch), 0);
}

/** The notice's own figure for the whole: as typed, else what its batches make. */
export function countOf(form: Releasing, batches: readonly Alive[]): number {
  return form.total === "" ? sumOf(form, batches) : Number(form.total);
}

export interface Differing {
  /** The batch's label; null of the whole. */
  readonly label: string | null;
  readonly said: number;
  readonly alive: number;
}

/** Where the paper and the living count differ. It is told, and never refused. */
export function differing(form: Releasing, batches: readonly Alive[]): Differing[] {
  const alive = batches.reduce((sum, one) => sum + (one.alive ?? 0), 0);
  const said = countOf(form, batches);
  const whole = said === alive ? [] : [{ label: null, said, alive }];
  const each = batches.map((one) => ({
    label: one.label ?? one.id,
    said: saidOf(form, one),
    alive: one.alive ?? 0,
  }));
  return [...whole, ...each.filter((one) => one.said !== one.alive)];
}

/** What the person was shown when it was typed. */
export interface Shown {
  readonly earliest: string | null;
  readonly rule: string | null;
}

export function draftOf(
  form: Releasing,
  batches: readonly Alive[],
  shown: Shown,
  at: { occurredAt?: Instant },
): Draft {
  const body = {
    notice: form.notice.trim(),
    count: countOf(form, batches),
    plants: batches.map((one) => ({ id: one.id, count: saidOf(form, one) })),
    ...(form.conditions.trim() === "" ? {} : { conditions: form.conditions.trim() }),
    ...(form.photos[0] === undefined ? {} : { photo: form.photos[0] }),
    ...(shown.earliest === null ? {} : { shown_earliest: shown.earliest }),
    ...(shown.rule === null ? {} : { shown_rule: shown.rule.slice(0, LONGEST) }),
  };
  return { kind: "released", about: batches.map(({ id }) => id), body, ...at };
}

const LONGEST = 64;

interface Told {
  readonly earliest: string | null;
  readonly reasons?: readonly { readonly params: Readonly<Record<string, unknown>> }[];
}

/** The latest of the earliest days of these batches, and the text that it rests on. */
export function shownOf(clocks: readonly (Told | null)[]): Shown {
  const known = clocks.filter((one) => one !== null && one.earliest !== null) as Told[];
  const last = known.reduce<Told | null>(
    (one, other) => ((one?.earliest ?? "") >= (other.earliest ?? "") ? one : other),
    null,
  );
  const rule = (last?.reasons ?? []).map(({ params }) => params["source"]).find((text) => text);
  return { earliest: last?.earliest ?? null, rule: typeof rule === "string" ? rule : null };
}

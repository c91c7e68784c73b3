/**
 * What a batch is, as far as a phone works it out by itself.
 *
 * Twin of `nursery/domain/batch.py` and `ledger.py`: `phone()` there gives the same object.
 */
import type { EntryId, Instant } from "./entry";

export const WAYS = [
  ...(["died", "culled", "sampled", "destroyed", "stolen", "planted", "sent"] as const),
  ...(["split", "joined", "mixed", "settled"] as const),
] as const;
export type Way = (typeof WAYS)[number];

/** Plants, by where they are. Ways between batches are positive when plants leave by them. */
export type Ledger = Record<"in" | "alive" | Way, number>;

export interface Stay {
  readonly place: string;
  readonly since: Instant;
}

/** Built up by the fold; nobody else writes to it. */
export interface Batch {
  readonly id: string;
  began: boolean;
  label: string | null;
  readonly oldLabels: string[];
  stage: string | null;
  stay: Stay | null;
  readonly parents: string[];
  seeds: number | null;
  counted: boolean;
  /** The account rests on an estimate, until somebody counts. */
  estimated: boolean;
  /** A later estimate, which overrules no count. */
  estimate: number | null;
  readonly ledger: Ledger;
  /** Plants that were carried out to be planted, and are neither planted nor back. */
  out: number;
  /** Every hole that plants of it were put into. */
  readonly placed: Set<string>;
  readonly bag: Map<string, number>;
  /** Ordered holds that were not lifted, by the reference of the order. */
  readonly holds: Map<string, Instant>;
  /** Suspicions that nobody has answered, by the line of the find. */
  readonly finds: Set<EntryId>;
  /** Which finds were open when an order of a reference was given: its lift answers them. */
  readonly ruled: Map<string, readonly EntryId[]>;
  /** For which find each sample was taken. */
  readonly samples: Map<string, EntryId>;
}

export function emptyBatch(id: string): Batch {
  return {
    id,
    began: false,
    label: null,
    oldLabels: [],
    stage: null,
    stay: null,
    parents: [],
    seeds: null,
    counted: false,
    estimated: false,
    estimate: null,
    ledger: emptyLedger(),
    out: 0,
    placed: new Set(),
    bag: new Map(),
    holds: new Map(),
    finds: new Set(),
    ruled: new Map(),
    samples: new Map(),
  };
}

function emptyLedger(): Ledger {
  const ways = Object.fromEntries(WAYS.map((way) => [way, 0])) as Record<Way, number>;
  return { in: 0, alive: 0, ...ways };
}

/** Plants that are no longer in the living count of the batch. */
export function out(ledger: Ledger): number {
  return WAYS.reduce((sum, way) => sum + ledger[way], 0);
}

/** Plants that nobody can account for; negative where there are too many. */
export function difference(ledger: Ledger): number {
  return ledger.in - ledger.alive - out(ledger);
}

/**
 * Nothing of it lives, here or in the field, and nothing is kept for the officer. Seed that has not
 * come up may still do so, until it is thrown away.
 */
export function closed({ counted, stage, ledger, bag }: Batch): boolean {
  const gone = counted && stage !== "seed" && ledger.alive === 0 && ledger.planted <= 0;
  return (gone || stage === "closed") && [...bag.values()].every((kept) => kept === 0);
}

export type BatchJson = ReturnType<typeof batchJson>;

export function batchJson(batch: Batch) {
  return {
    id: batch.id,
    label: batch.label,
    old_labels: batch.oldLabels,
    stage: batch.stage,
    place: batch.stay?.place ?? null,
    since: batch.stay?.since ?? null,
    parents: batch.parents,
    alive: batch.counted ? batch.ledger.alive : null,
    estimated: batch.estimated,
    estimate: batch.estimate,
    ledger: { ...batch.ledger, difference: difference(batch.ledger) },
    out: batch.out,
    holds: Object.fromEntries(batch.holds),
    finds: [...batch.finds],
    closed: closed(batch),
  };
}

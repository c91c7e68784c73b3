/** What this phone knows of a picture, beside the picture itself. */
import type { OutboxRow } from "./row";

/**
 * `kept` on this phone; `described` once the office has answered for the record that names it;
 * `sent` once the office has the whole of it: it stays here all the same. `safe` once a tested backup
 * holds it: then the small one alone is here.
 */
export type PhotoState = "kept" | "described" | "sent" | "safe";

/** A picture as the camera part hands it over: on no disk yet. */
export interface Captured {
  readonly data: Blob;
  readonly thumb: Blob;
  readonly sha256: string;
  readonly width: number;
  readonly height: number;
}

export interface PhotoFact {
  /** The name by which records call it. */
  readonly id: string;
  /** The batch or place that it is of. */
  readonly subject: string;
  readonly shows: string;
  /** By the corrected clock. */
  readonly takenAt: string;
  readonly bytes: number;
  readonly sha256: string;
  readonly width: number;
  readonly height: number;
  readonly state: PhotoState;
  /** The record that names it; null while none does. */
  readonly entry: string | null;
  /** Why the office did not take it. */
  readonly refused?: string;
  /** It stands in a file that was made of the pictures here. */
  readonly exported?: boolean;
}

/** What is to be kept of a picture beside the picture. */
export type PhotoOf = Pick<PhotoFact, "id" | "subject" | "shows" | "takenAt">;

/** From the names of pictures to the records that name them. */
export function naming(rows: readonly OutboxRow[]): Map<string, string> {
  const named = rows
    .filter(({ text }) => text.includes('"photographed"'))
    .flatMap(({ id, text }) => {
      const { kind, body } = JSON.parse(text) as { kind: string; body: { photo?: unknown } };
      const { photo } = body;
      return kind === "photographed" && typeof photo === "string" ? [[photo, id] as const] : [];
    });
  return new Map(named);
}

export function isLoose({ entry }: PhotoFact): boolean {
  return entry === null;
}

export function isThere({ state }: PhotoFact): boolean {
  return state === "sent" || state === "safe";
}

export function ids(facts: readonly PhotoFact[]): string[] {
  return facts.map(({ id }) => id);
}

/** The room that these take here: of what is safe a small one alone is left. */
export function sum(facts: readonly PhotoFact[]): number {
  return facts.reduce((bytes, fact) => bytes + (fact.state === "safe" ? 0 : fact.bytes), 0);
}

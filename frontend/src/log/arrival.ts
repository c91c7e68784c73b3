/**
 * Goods that come in: what their trays are called in the book, and what the paper says against the
 * count. Two phones apart give one tray the same id, because both make it of the same words.
 */
import { canonical } from "./labels";

const UNKNOWN = /^arrival_(\d{4}-\d\d-\d\d)_(\d{3})$/;
const LONGEST_ID = 64;
const LONGEST_LABEL = 20;

/** A consignment that nobody at the office has typed: its day, and a number told from mouth to mouth. */
export interface Unknown {
  readonly on: string;
  readonly number: string;
}

export function unknownConsignment({ on, number }: Unknown): string {
  return `arrival_${on}_${number}`;
}

export function readUnknown(consignment: string): Unknown | null {
  const found = UNKNOWN.exec(consignment);
  return found ? { on: `${found[1]}`, number: `${found[2]}` } : null;
}

/** Three figures from a byte pair of chance: easy to shout through a screen house. */
export function arrivalNumber(chance: number): string {
  return String(100 + (chance % 900));
}

/** The id of a tray, made of its consignment and its label. */
export function trayId(consignment: string, label: string): string {
  const end = canonical(label).toLowerCase().slice(0, LONGEST_LABEL);
  return `${consignment.slice(-(LONGEST_ID - LONGEST_LABEL - 1))}_${end}`;
}

export type Against = { readonly code: "short" | "over" | "same"; readonly n: number } | null;

/** What the paper says against the count; null as long as one of the two is missing. */
export function against(paper: number | null, counted: number | null): Against {
  if (paper === null || counted === null) return null;
  const n = Math.abs(paper - counted);
  return { code: n === 0 ? "same" : paper > counted ? "short" : "over", n };
}

interface Counted {
  readonly alive: number | null;
  readonly ledger: { readonly in: number; readonly died: number; readonly sampled: number };
}

/** The whole consignment; `counted` is null as long as one tray was not counted. */
export interface Sum {
  readonly trays: number;
  readonly waiting: number;
  readonly counted: number | null;
  readonly soFar: number;
  readonly alive: number;
  readonly died: number;
  readonly sampled: number;
}

export function sum(batches: readonly Counted[]): Sum {
  const waiting = batches.filter(({ alive }) => alive === null).length;
  const total = (of: (batch: Counted) => number): number =>
    batches.reduce((all, batch) => all + of(batch), 0);
  const soFar = total(({ alive, ledger }) => (alive === null ? 0 : ledger.in));
  return {
    trays: batches.length,
    waiting,
    counted: waiting === 0 && batches.length > 0 ? soFar : null,
    soFar,
    alive: total(({ alive }) => alive ?? 0),
    died: total(({ ledger }) => ledger.died),
    sampled: total(({ ledger }) => ledger.sampled),
  };
}

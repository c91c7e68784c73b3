/** What is done with the officer's bag, as records. */
import type { Draft } from "../../log/write";
import { disposalOf, type Disposal } from "../acts/disposal";

export interface Share {
  readonly id: string;
  readonly count: number;
}

interface Row {
  readonly batch: { readonly id: string };
  readonly count: number;
}

/** Of these batches, as a person chose; all where nobody did. */
export function chosenOf<T extends Row>(rows: readonly T[], about: readonly string[] | null): T[] {
  return rows.filter(({ batch }) => about?.includes(batch.id) ?? true);
}

export function sharesOf(rows: readonly Row[]): Share[] {
  return rows.map(({ batch: { id }, count }) => ({ id, count }));
}

/** The longest name that a record takes. */
const MOST = 64;

export function shownOf(who: string, plants: readonly Share[]): Draft {
  const body = { to: who.trim().slice(0, MOST), plants };
  return { kind: "shown", about: plants.map(({ id }) => id), body };
}

/** What left the bag is dead plants; what is destroyed by order was never in it. */
export function disposedOf(
  form: Disposal,
  what: "dead_plants" | "destroyed_plants",
  plants: readonly Share[],
  about: readonly string[],
): Draft {
  const bag = plants.length > 0 ? { plants } : {};
  const subjects = [...new Set([...about, ...plants.map(({ id }) => id)])];
  return { kind: "disposed", about: subjects, body: { what, ...disposalOf(form), ...bag } };
}

/** Plants of each batch destroyed by an order: they leave the living count, and no bag keeps them. */
export function destroyedOf(plants: readonly Share[], order: string | null): Draft[] {
  return plants
    .filter(({ count }) => count > 0)
    .map(({ id, count }) => ({
      kind: "lost",
      about: [id],
      body: { count, fate: "destroyed", kept: false, ...(order === null ? {} : { order }) },
    }));
}

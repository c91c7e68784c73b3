/** Raising plants as it stands in its forms, and the records that it makes. */
import type { Taker } from "../../log/divide";
import type { Draft } from "../../log/write";
import { readNumber } from "../../words/forms";

/** What may be done to seed before it is sown, with its words under `sow.pre.`. */
export const BEFORE = ["soak", "hot_water", "scarify", "stratify", "pulp", "fungicide"] as const;
export type Before = (typeof BEFORE)[number];
/** Those of which it is told how long. */
export const LASTING = ["soak", "stratify"] as const;

export type Figures = Record<string, string>;

/** A new batch in a form. */
export interface Born {
  id: string;
  label: string;
  place: string;
  container: string;
}

/** A whole figure of a board; null as long as nobody typed it. */
export function whole(figures: Figures, key: string): number | null {
  const text = figures[key] ?? "";
  return text === "" ? null : Number(text);
}

/** A figure with a mark; null where nothing is typed or it cannot be read. */
export function decimal(figures: Figures, key: string): number | null {
  const value = readNumber(figures[key] ?? "");
  return typeof value === "number" ? value : null;
}

/** The first figure that can be read in two ways, or in none. */
export function unread(figures: Figures, keys: readonly string[]): string | null {
  const texts = keys.map((key) => figures[key] ?? "").filter((text) => text !== "");
  return texts.find((text) => typeof readNumber(text) !== "number") ?? null;
}

function given(fields: Readonly<Record<string, unknown>>): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(fields).filter(([, value]) => value !== null && value !== ""),
  );
}

const about = (id: string, kind: string, body: Draft["body"]): Draft => ({
  ...{ kind, body },
  about: [id],
});

export interface SeedLot {
  readonly crop?: string | null;
  readonly seeds_per_kg?: number | null;
  readonly grams?: number | null;
}

/** How many seeds a lot is by its weight: an estimate, never a count. */
export function seedsOf({ seeds_per_kg, grams }: SeedLot): number | null {
  if (seeds_per_kg == null || grams == null) return null;
  return Math.round((seeds_per_kg * grams) / 1000);
}

export interface Sowing extends Born {
  lot: string;
  /** Seed that no row describes, in words. */
  words: string;
  crop: string;
  figures: Figures;
  before: Before[];
  /** How long, as it is typed, by what was done. */
  lasted: Figures;
}

/** Seeds sown: cells by seeds of a cell, one seed where nobody says otherwise. */
export function sownOf({ figures }: Pick<Sowing, "figures">): number | null {
  const cells = whole(figures, "cells");
  return cells === null ? null : cells * (whole(figures, "per_cell") ?? 1);
}

export function sowingOf(form: Sowing, pretreatment: string): Draft {
  const { id, label, place, container, crop, figures, lot, words } = form;
  const cells = whole(figures, "cells");
  return about(id, "sown", {
    batch: given({ id, label, place, container, crop, cells }),
    seeds: sownOf(form),
    ...given({
      seed_lot: lot === "" ? words.trim() : lot,
      pretreatment,
      per_cell: whole(figures, "per_cell"),
      depth_mm: decimal(figures, "depth"),
    }),
  });
}

export function emergedOf(id: string, figures: Figures): Draft {
  const abnormal = whole(figures, "abnormal");
  return about(id, "emerged", { total: whole(figures, "total"), ...given({ abnormal }) });
}

export function rootedOf(id: string, figures: Figures): Draft {
  const callused = whole(figures, "callused");
  return about(id, "rooted", { total: whole(figures, "total"), ...given({ callused }) });
}

export interface Pricking {
  readonly moved: number;
  readonly discarded: number;
  /** What stays in the seedbed; below zero where more was moved than it had. */
  readonly left: number;
}

export function prickingOf(figures: Figures, alive: number): Pricking {
  const [moved, discarded] = [whole(figures, "moved") ?? 0, whole(figures, "discarded") ?? 0];
  return { moved, discarded, left: alive - moved - discarded };
}

/** The discarded leave by their cause; then the others stand in their new batch. */
export function prickedOf(
  { moved, discarded, left }: Pricking,
  { id, cause, kept }: { readonly id: string; readonly cause: string; readonly kept: boolean },
  child: Taker,
): Draft[] {
  const parents = [{ id, left: Math.max(0, left) }];
  const children = [given({ ...child, count: moved })];
  const culled = { count: discarded, fate: "culled", cause, kept };
  return [
    ...(discarded === 0 ? [] : [about(id, "lost", culled)]),
    ...(moved === 0
      ? []
      : [{ kind: "pricked", about: [id, child.id], body: { parents, children } }]),
  ];
}

export interface Cutting extends Born {
  crop: string;
  figures: Figures;
}

export function stuckOf(form: Cutting, parents: readonly string[]): Draft {
  const { id, label, place, container, crop, figures } = form;
  const batch = given({ id, label, place, container, crop });
  const body = { batch, cuttings: whole(figures, "cuttings") ?? 0, parents };
  return { kind: "stuck", about: [...new Set([id, ...parents])], body };
}

export interface Grafting {
  method: "grafted" | "budded";
  /** The batch that gives scions or buds; empty where they are from elsewhere. */
  scion: string;
  operator: string | null;
  figures: Figures;
}

export function workedOf(form: Grafting, id: string, operator: string): Draft {
  const { method, scion, figures } = form;
  const rootstock_mm = decimal(figures, "mm");
  const body = { method, plants: whole(figures, "plants") ?? 0 };
  return {
    kind: "worked",
    about: scion === "" ? [id] : [id, scion],
    body: { ...body, ...given({ scion, operator, rootstock_mm }) },
  };
}

/** What took, and where rootstocks that did not take are thrown away, that they left. */
export function tookOf(
  { id, graft, kept }: { readonly id: string; readonly graft: string; readonly kept: boolean },
  figures: Figures,
  thrownAway: boolean,
): Draft[] {
  const [took, failed] = [whole(figures, "took") ?? 0, whole(figures, "failed") ?? 0];
  const culled = { count: failed, fate: "culled", cause: "weak", kept };
  return [
    about(id, "took", { took, failed, graft }),
    ...(thrownAway && failed > 0 ? [about(id, "lost", culled)] : []),
  ];
}

export interface Feeding {
  about: string[] | null;
  product: string;
  figures: Figures;
}

export function fedOf({ product, figures }: Feeding, batches: readonly string[]): Draft {
  const body = given({
    litres: decimal(figures, "litres"),
    ec_ms_cm: decimal(figures, "ec"),
    nitrogen_ppm: decimal(figures, "nitrogen"),
  });
  return { kind: "fed", about: batches, body: { product: product.trim(), ...body } };
}

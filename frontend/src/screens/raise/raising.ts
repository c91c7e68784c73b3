/** Seed that comes up, grafts that take, feed and leachate: what is typed, and the records of it. */
import type { Entry } from "../../log/entry";
import { standing } from "../../log/timeline";
import type { Draft } from "../../log/write";
import { readNumber } from "../../words/forms";

export type Typed = Record<string, string>;

/** A figure as it was typed; null where nothing, or none, was. */
export function figureOf(text: string | undefined): number | null {
  const value = text === undefined || text === "" ? null : readNumber(text);
  return typeof value === "number" ? value : null;
}

/** What stands in a body: what nobody typed is left out. */
function filled(body: Readonly<Record<string, unknown>>): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(body).filter(([, value]) => value !== null && value !== ""),
  );
}

/** The last running total of a kind among a batch's records. */
export function lastTotal(entries: Iterable<Entry>, kind: "emerged" | "rooted"): number | null {
  const totals = standing(entries).entries.flatMap((entry) => {
    if (entry.kind === "emerged" && kind === "emerged") return [entry.body.total];
    if (entry.kind !== "other" || entry.named !== kind) return [];
    const { total } = entry.body;
    return typeof total === "number" ? [total] : [];
  });
  return totals.at(-1) ?? null;
}

/** Seedlings that came up, or cuttings with roots: a running total each. */
export function totalDraft(kind: "emerged" | "rooted", id: string, typed: Typed): Draft {
  const beside = kind === "emerged" ? "abnormal" : "callused";
  const body = { total: figureOf(typed["total"]), [beside]: figureOf(typed["beside"]) };
  return { kind, about: [id], body: filled(body) };
}

/** What is odd about a total: it runs back, or there were never so many. */
export function oddTotal(
  total: number | null,
  last: number | null,
  most: number | null,
): "back" | "more" | null {
  if (total === null) return null;
  if (last !== null && total < last) return "back";
  return most !== null && total > most ? "more" : null;
}

export interface Graft {
  method: "grafted" | "budded";
  operator: string | null;
  scion: string | null;
  figures: Typed;
}

export const NO_GRAFT: Graft = { method: "grafted", operator: null, scion: null, figures: {} };

export function graftDraft(id: string, graft: Graft): Draft {
  const { method, operator, scion, figures } = graft;
  const plants = figureOf(figures["plants"]);
  const body = { method, plants, scion, operator, rootstock_mm: figureOf(figures["rootstock"]) };
  // The buds' own batch is told as well: its holds and its clock go along.
  return { kind: "worked", about: scion === null ? [id] : [id, scion], body: filled(body) };
}

export interface Grafting {
  readonly id: string;
  readonly at: string;
  readonly plants: number;
  readonly counted: boolean;
}

/** The graftings of a batch with whether their take was counted, oldest first. */
export function graftings(entries: Iterable<Entry>): Grafting[] {
  const facts = standing(entries).entries;
  const named = new Set(
    facts.flatMap((entry) => {
      if (entry.kind !== "other" || entry.named !== "took") return [];
      const { graft } = entry.body;
      return typeof graft === "string" ? [graft] : [];
    }),
  );
  return facts.flatMap((entry) => {
    if (entry.kind !== "worked") return [];
    const { plants = 0 } = entry.body as { plants?: number };
    return [{ id: entry.id, at: entry.occurredAt, plants, counted: named.has(entry.id) }];
  });
}

/** The take of a grafting, and the loss of those that failed where they are thrown away. */
export function tookDrafts(
  id: string,
  graft: string | null,
  typed: Typed,
  culled: boolean,
  kept: boolean,
): Draft[] {
  const [took, failed] = [figureOf(typed["took"]) ?? 0, figureOf(typed["failed"]) ?? 0];
  const lost = { count: failed, fate: "culled", cause: "weak", kept, by_auditor: false };
  return [
    { kind: "took", about: [id], body: filled({ took, failed, graft }) },
    ...(culled && failed > 0 ? [{ kind: "lost", about: [id], body: lost }] : []),
  ];
}

export function feedDraft(about: readonly string[], product: string, typed: Typed): Draft {
  const figures = {
    litres: figureOf(typed["litres"]),
    ec_ms_cm: figureOf(typed["ec"]),
    nitrogen_ppm: figureOf(typed["ppm"]),
  };
  return { kind: "fed", about, body: filled({ product: product.trim(), ...figures }) };
}

/** What ran out of some pots: salt and acidity, read together. */
export function leachateDraft(about: readonly string[], typed: Typed): Draft {
  const readings = [
    { what: "ec_ms_cm", value: figureOf(typed["ec"]) },
    { what: "ph", value: figureOf(typed["ph"]) },
  ].filter(({ value }) => value !== null);
  return { kind: "read", about, body: filled({ readings, pots: figureOf(typed["pots"]) }) };
}

/** Usual figures of leachate from woody plants. (Common practice, from memory.) */
export const USUAL = { ec: [0.5, 1.5], ph: [5.2, 6.5] } as const;

export function unusual(typed: Typed): ("ec" | "ph")[] {
  return (["ec", "ph"] as const).filter((name) => {
    const value = figureOf(typed[name]);
    const [least, most] = USUAL[name];
    return value !== null && (value < least || value > most);
  });
}

/** A tray that arrived and was counted, for tests of what happens to it next. */
import { batchJson, type BatchJson } from "../log/batch";
import * as fold from "../log/fold";
import { entry, type Raw } from "./entries";

export const NEW = { id: "b-1", label: "T1" };
export const RECEIVED: Raw = {
  kind: "received",
  body: { consignment: "c-1", batches: [NEW, { id: "b-2", label: "T2" }], place: "r-1" },
};
export const COUNTED: Raw = { id: 2, kind: "counted", body: { method: "full", alive: 54 } };

/** The author of whatever names none is a grower. */
const GROWERS: ReadonlySet<string> = new Set(["p-1"]);

export function counted(id: number, alive: number): Raw {
  return { id, kind: "counted", body: { method: "full", alive } };
}

export function lost(id: number, count: number, more: object = {}): Raw {
  return { id, kind: "lost", body: { count, fate: "died", ...more } };
}

export function divided(kind: string, parents: object[], children: object[]): Raw {
  return { id: 9, kind, body: { parents, children } };
}

export function folded(id: string, ...given: Raw[]): BatchJson {
  return batchJson(fold.batch(id, given.map(entry), GROWERS));
}

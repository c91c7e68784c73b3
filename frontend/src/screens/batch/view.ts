/** A batch as a phone shows it: what it works out by itself, and what the office told. */
import { disagreements } from "../../log/counts";
import type { Entry } from "../../log/entry";
import type { Known } from "../../log/known";
import type { BatchOutlook } from "../../net/outlook";
import type { BatchView, Doubt } from "../../net/views";
import { shapeOf } from "../../parts/look";
import type { KeptBatch } from "../../shelf/folding";

/** What this phone works out by itself; of these the office's word is older than the records here. */
const OWN = new Set(["disagreement", "difference"]);

/** How its name is drawn. */
export function drawn(
  { id, label }: Pick<KeptBatch, "id" | "label">,
  { container, cells, oneOfParents }: Pick<Known, "container" | "cells" | "oneOfParents">,
): { label: string; shape: "tray" | "mixed" | "pots" } {
  const shape = shapeOf({ one_of_parents: oneOfParents, container, cells });
  return { label: label ?? id, shape };
}

/** In the form in which the office gives it, so that one sheet shows both. */
export function viewOf(
  kept: KeptBatch,
  known: Known,
  entries: readonly Entry[],
  outlook: BatchOutlook | null,
): BatchView {
  return {
    ...kept,
    crop: known.crop,
    consignment: known.consignment,
    container: known.container,
    cells: known.cells,
    one_of_parents: known.oneOfParents,
    bag: known.bag,
    began_at: known.beganAt,
    opened_on: known.openedOn,
    released: known.released,
    doubts: doubtsOf(kept, known, entries, outlook),
    outlook: outlook && { ...outlook, doubts: open(outlook.doubts, known) },
  };
}

function doubtsOf(
  kept: KeptBatch,
  known: Known,
  entries: readonly Entry[],
  outlook: BatchOutlook | null,
): Doubt[] {
  const told = open(outlook?.own_doubts ?? [], known);
  const apart = disagreements(kept.id, entries).map(({ id, first, second }) =>
    doubt(id, [first.id, second.id], { first: first.body.alive, second: second.body.alive }),
  );
  const { difference } = kept.ledger;
  const named = told.find(({ code }) => code === "difference");
  const differs =
    kept.alive === null || difference === 0
      ? []
      : [doubt(named?.id ?? "difference:", named?.entries ?? [], { plants: difference })];
  return [...apart, ...differs, ...told.filter(({ code }) => !OWN.has(code))];
}

/** Without what was settled on this phone since. */
function open(told: readonly Doubt[], { settled }: Known): Doubt[] {
  return told.filter(({ id, settled_by: by }) => by === null && !settled.has(id));
}

function doubt(id: string, entries: readonly string[], params: Doubt["params"]): Doubt {
  const code = id.slice(0, id.indexOf(":"));
  return { id, code, weight: "blocking", entries, params, settled_by: null };
}

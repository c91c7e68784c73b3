/** Whether the conditions of a batch keep the plants of a fate for the officer. */
import { keptFates, type Term } from "../../log/bag";
import type { Fate } from "../../log/bodies";
import type { Known } from "../../log/known";
import type { KeptBatch } from "../../shelf/folding";
import { book } from "../book.svelte";
import { phone } from "../phone.svelte";
import { tree } from "../room/seats.svelte";

export function keepsForOfficer(fate: Fate, kept: KeptBatch, known: Known): boolean {
  if (known.released) return false;
  const started = phone.outlook?.batches[kept.id]?.clock?.started_on ?? known.openedOn;
  const permits = permitsOf(kept.id, known.permit);
  return (
    permits.some((permit) => keptFates(termsOf(permit), started, book.today).includes(fate)) ||
    keptFates(own(kept, known), book.today, book.today).includes(fate)
  );
}

/** The permits under which it came: its own, its consignment's, and its parents'. */
function permitsOf(id: string, named: string | null, seen = new Set<string>()): string[] {
  if (seen.has(id)) return [];
  seen.add(id);
  const batch = phone.batches.get(id);
  const consignment = batch?.consignment ?? null;
  const permit =
    consignment === null ? null : phone.row("consignment", consignment)?.body["permit"];
  const parents = (batch?.parents ?? []).flatMap((parent) => permitsOf(parent, null, seen));
  return [named, permit, ...parents].filter((one) => typeof one === "string");
}

function termsOf(permit: string): readonly Term[] {
  return (phone.row("permit", permit)?.body["terms"] ?? []) as readonly Term[];
}

/** The nursery's own rules for the place where it stands and for its crop. */
function own(kept: KeptBatch, { crop }: Known): Term[] {
  const around = kept.place === null ? [] : tree.all.outward(kept.place);
  return phone.rowsOf("due_rule").flatMap(({ body }) => {
    const { term, places = [], crops = [] } = body as unknown as OwnRule;
    const here = places.length === 0 || places.some((place) => around.includes(place));
    return here && (crops.length === 0 || (crop !== null && crops.includes(crop))) ? [term] : [];
  });
}

interface OwnRule {
  readonly term: Term;
  readonly places?: readonly string[];
  readonly crops?: readonly string[];
}

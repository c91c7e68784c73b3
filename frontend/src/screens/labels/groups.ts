/** Trays that are labelled together: all of one consignment, all that stand in one room. */
import type { BatchView, RowView } from "../../net/views";

export interface Group {
  readonly key: string;
  readonly what: "consignment" | "place";
  readonly id: string;
  readonly batches: readonly string[];
}

/** What shares air, water and hands: the room of a bench is the nearest of these around it. */
const ROOMS = new Set(["room", "anteroom", "house", "block", "store", "office"]);
const MOST_STEPS = 8;

/** Groups of more than one, consignments first, each in the order in which the batches come. */
export function groupsOf(batches: readonly BatchView[], places: readonly RowView[]): Group[] {
  const rows = new Map(places.map((row) => [row.id, row]));
  const found = new Map<string, Group>();
  const add = (what: Group["what"], id: string | null, batch: string): void => {
    if (id === null) return;
    const key = `${what} ${id}`;
    const before = found.get(key)?.batches ?? [];
    found.set(key, { key, what, id, batches: [...before, batch] });
  };
  for (const batch of batches) add("consignment", batch.consignment, batch.id);
  for (const batch of batches) add("place", roomOf(batch.place, rows), batch.id);
  return [...found.values()].filter((group) => group.batches.length > 1);
}

/** The nearest room around a place, else the outermost place short of the whole nursery. */
export function roomOf(id: string | null, rows: ReadonlyMap<string, RowView>): string | null {
  let here = id;
  let last = id;
  for (let step = 0; step < MOST_STEPS && here !== null; step++) {
    const body: Readonly<Record<string, unknown>> = rows.get(here)?.body ?? {};
    if (body["kind"] === "nursery") return last;
    last = here;
    if (ROOMS.has(String(body["kind"]))) return here;
    here = typeof body["parent"] === "string" ? body["parent"] : null;
  }
  return last;
}

/** The chosen ones after a tap on some: all of them in, or, where all are in, all out. */
export function toggled(chosen: ReadonlySet<string>, some: readonly string[]): Set<string> {
  const all = some.every((id) => chosen.has(id));
  const rest = [...chosen].filter((id) => !some.includes(id));
  return new Set(all ? rest : [...rest, ...some]);
}

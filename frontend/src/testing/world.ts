/** What a phone knows that holds these records: for tests. */
import { batchJson } from "../log/batch";
import type { Entry, Instant } from "../log/entry";
import * as fold from "../log/fold";
import { lately } from "../log/lately";
import { placeJson } from "../log/place";
import { Seats, type Seat } from "../log/seats";
import { World, type KnownBatch, type KnownPlace, type Told } from "../log/world";

export type Rows = readonly (Seat & { type: string })[];

export function worldOf(rows: Rows, entries: Entry[], told: Told | null, now: Instant | null) {
  const places = rows.filter(({ type }) => type === "place");
  const growers = rows.filter(({ body }) => body["role"] === "grower").map(({ id }) => id);
  const subjects = [...new Set(entries.flatMap(({ about }) => about))];
  const batches = new Map<string, KnownBatch>();
  const seats = new Map<string, KnownPlace>();
  for (const id of subjects) {
    const about = entries.filter((one) => one.about.includes(id));
    const state = fold.batch(id, about, new Set(growers));
    const more = { lately: lately(about) };
    if (state.began) batches.set(id, { ...batchJson(state), ...more });
    else seats.set(id, { ...placeJson(fold.place(id, about)), ...more });
  }
  return new World({ now, seats: new Seats(places), batches, places: seats, told });
}

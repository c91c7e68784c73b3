/** The bed of a batch, from what the office says of its life. */
import type { BatchView } from "../net/views";
import { bedOf, type Ahead, type Bed } from "../parts/bed";
import { local } from "../words/local";
import { fullOn } from "./batch/season";

export function lifeOf(batch: BatchView, zone: string, today: string, ahead?: Ahead): Bed | null {
  if (batch.began_at === null) return null;
  const clock = batch.outlook?.clock ?? null;
  const life = {
    began_on: local(batch.began_at, zone).day,
    opened_on: clock?.started_on ?? batch.opened_on,
    released_on: batch.released ? local(batch.released.at, zone).day : null,
    earliest_release: clock?.earliest ?? null,
    stage: batch.stage,
    shades: batch.outlook?.shades ?? [],
  };
  const bed = bedOf(life, today, ahead);
  return bed.parts.length > 0 ? { ...bed, full: fullOn(batch) } : null;
}

/**
 * How one more entry changes the account of a batch: what was counted, lost, sent and planted.
 *
 * Twin of `nursery/domain/account_steps.py`.
 */
import { out, type Batch, type Way } from "./batch";
import type { Bodies, CountMethod, Share } from "./bodies";
import { seat } from "./positions";

const FATES = ["died", "culled", "sampled", "destroyed", "stolen"] as const;
const DIFFERENCE = "difference:";

/** A count sets what lives; an estimate opens an account that nobody counted, no more. */
export function seen(batch: Batch, method: CountMethod, alive: number): void {
  if (method === "estimate") estimate(batch, alive);
  else observe(batch, alive);
}

function estimate(batch: Batch, alive: number): void {
  if (batch.counted && !batch.estimated) {
    batch.estimate = alive;
    return;
  }
  observe(batch, alive);
  batch.estimated = true;
}

/**
 * The first observation opens the account, whatever was lost before it. A seedbed that shows more
 * seedlings than before lets them in, up to the seed sown.
 */
export function observe(batch: Batch, alive: number): void {
  const { ledger } = batch;
  batch.estimate = null;
  if (alive > 0 && batch.stage === "seed") batch.stage = "seedlings";
  if (!batch.counted || batch.estimated) {
    ledger.in = alive + out(ledger);
    batch.counted = true;
    batch.estimated = false;
  } else if (batch.seeds !== null && alive > ledger.alive) {
    ledger.in += Math.min(alive - ledger.alive, Math.max(0, batch.seeds - ledger.in));
  }
  ledger.alive = alive;
}

export function leave(batch: Batch, way: Way, plants: number): void {
  batch.ledger[way] += plants;
  batch.ledger.alive -= plants;
}

export function lost(batch: Batch, body: Bodies["lost"]): void {
  leave(batch, body.fate, body.count);
  if (body.carried) batch.out = Math.max(0, batch.out - body.count);
  if (body.kept) batch.bag.set(body.fate, (batch.bag.get(body.fate) ?? 0) + body.count);
}

/** A difference is put down to a fate, plant by plant. */
export function settled(batch: Batch, body: Bodies["settled"]): void {
  const { doubt, plants, fate } = body;
  if (plants && doubt.startsWith(DIFFERENCE)) {
    batch.ledger[fate ?? "settled"] += plants;
  }
}

export function share(batch: Batch, plants: readonly Share[]): number {
  return plants.reduce((sum, { id, count }) => (id === batch.id ? sum + count : sum), 0);
}

/** Take plants out of the officer's bag, the dead first. Seed thrown away ends its batch. */
export function disposed(batch: Batch, body: Bodies["disposed"]): void {
  if (batch.stage === "seed") batch.stage = "closed";
  let rest = share(batch, body.plants ?? []);
  for (const fate of FATES) {
    const kept = batch.bag.get(fate) ?? 0;
    const taken = Math.min(rest, kept);
    rest -= taken;
    if (taken) batch.bag.set(fate, kept - taken);
  }
}

/** Plants leave for the field; one that two people told of leaves once. */
export function planted(batch: Batch, body: Bodies["planted"], filling: boolean): void {
  const row = seat(body.block, body.row);
  const holes = [...new Set(body.positions)].map((name) => `${row}/${name}`);
  const plants = filling ? holes.length : holes.filter((one) => !batch.placed.has(one)).length;
  for (const one of holes) batch.placed.add(one);
  batch.out = Math.max(0, batch.out - plants);
  leave(batch, "planted", plants);
  if (batch.counted && batch.ledger.alive === 0) batch.stage = "planted";
}

/** Plants go out to be planted or come back: none leaves the count by that. */
export function carried(batch: Batch, { way, plants }: Bodies["carried"]): void {
  batch.out = Math.max(0, way === "out" ? batch.out + plants : batch.out - plants);
}

/**
 * How one more entry changes where a batch stands, what it is called and where it came from.
 *
 * Twin of `nursery/domain/batch_steps.py`.
 */
import { observe, seen } from "./account";
import type { Batch, Way } from "./batch";
import type { Bodies, Child, Division, NewBatch } from "./bodies";
import type { Instant } from "./entry";

function begin(
  batch: Batch,
  at: Instant,
  born: NewBatch,
  stage: string,
  place?: string | null,
): void {
  batch.began = true;
  batch.label = born.label;
  batch.stage = named(born.stage) ?? stage;
  stay(batch, at, named(born.place) ?? place);
}

/** A name that is given; what is left out or null is none. */
function named(name: string | null | undefined): string | null {
  return name ?? null;
}

export function stay(batch: Batch, at: Instant, place: string | null | undefined): void {
  if (place && place !== batch.stay?.place) batch.stay = { place, since: at };
}

export function received(batch: Batch, at: Instant, body: Bodies["received"]): void {
  for (const born of body.batches) {
    if (born.id === batch.id) begin(batch, at, born, "growing_on", body.place);
  }
}

export function takenOn(batch: Batch, at: Instant, body: Bodies["taken_on"]): void {
  begin(batch, at, body.batch, "growing_on");
  seen(batch, body.method, body.alive);
}

export function sown(batch: Batch, at: Instant, body: Bodies["sown"]): void {
  begin(batch, at, body.batch, "seed");
  batch.seeds = body.seeds;
}

/** Seedlings come in as they come up; the total never runs backwards. */
export function emerged(batch: Batch, body: Bodies["emerged"]): void {
  const more = Math.max(0, body.total - batch.ledger.in);
  batch.ledger.in += more;
  batch.ledger.alive += more;
  if (body.total === 0) return;
  batch.counted = true;
  batch.stage = "seedlings";
}

export function stuck(batch: Batch, at: Instant, body: Bodies["stuck"]): void {
  if (body.batch.id !== batch.id) return;
  begin(batch, at, body.batch, "cuttings");
  descend(batch, body.parents ?? []);
  observe(batch, body.cuttings);
}

/** The rootstock's batch takes every hold of its scion's. */
export function worked(batch: Batch, body: Bodies["worked"]): void {
  if (body.scion === batch.id) return;
  batch.stage = "grafted";
  if (body.scion) descend(batch, [body.scion]);
}

/** Adds the parents that are new; a batch is no parent of its own. */
function descend(batch: Batch, parents: readonly string[]): void {
  for (const id of parents) {
    if (id !== batch.id && !batch.parents.includes(id)) batch.parents.push(id);
  }
}

/** A split, a join or a mix: `way` is its term in the ledger. */
export function divided(batch: Batch, at: Instant, body: Division, way: Way): void {
  for (const parent of body.parents) {
    if (parent.id === batch.id) give(batch, body, parent.left, way);
  }
  for (const child of body.children) {
    if (child.id !== batch.id) continue;
    take(batch, at, child, way);
    descend(batch, child.parents?.length ? child.parents : body.parents.map(({ id }) => id));
  }
}

/** With several parents nobody can say how many each gave: its account follows what was left. */
function give(batch: Batch, body: Division, remaining: number, way: Way): void {
  let taken = body.children.reduce((sum, child) => sum + child.count, 0);
  const known = batch.counted && !batch.estimated;
  if (body.parents.length > 1) taken = known ? batch.ledger.alive - remaining : 0;
  batch.ledger[way] += taken;
  batch.ledger.alive -= taken;
  observe(batch, remaining);
}

/** A batch that stood here before keeps its account, counted or not. */
function take(batch: Batch, at: Instant, child: Child, way: Way): void {
  if (!batch.began) {
    batch.began = true;
    batch.counted = true;
  }
  batch.label = child.label;
  batch.stage = named(child.stage) ?? batch.stage ?? "growing_on";
  stay(batch, at, child.place);
  batch.ledger[way] -= child.count;
  batch.ledger.alive += child.count;
}

export function relabelled(batch: Batch, body: Bodies["relabelled"]): void {
  batch.oldLabels.push(body.old);
  batch.label = body.new;
}

/**
 * From entries to state: what a batch or a place is, as all entries about it make it.
 *
 * Twin of `nursery/domain/fold.py`; `tests/vectors/folds/` keeps the two alike. Never throws; every
 * order of arrival and any repetition of the same entries give the same state.
 */
import * as account from "./account";
import { emptyBatch, type Batch } from "./batch";
import type { Entry } from "./entry";
import * as finds from "./finds";
import * as life from "./life";
import { isAnothersWord } from "./mistaps";
import * as places from "./place";
import { seated } from "./positions";
import { standing, type Timeline } from "./timeline";

const NOBODY: ReadonlySet<string> = new Set();

/**
 * The batch `id`; entries that do not name it are passed over. Only the word of one of `growers`
 * answers a suspicion.
 */
export function batch(id: string, entries: Iterable<Entry>, growers = NOBODY): Batch {
  const state = emptyBatch(id);
  const timeline = standing(about(id, entries));
  const facts = timeline.entries.filter((entry) => !isAnothersWord(entry, growers));
  for (const entry of byTheirDoers(facts)) {
    if (began(state, entry) || shaped(state, entry) || accounted(state, entry)) continue;
    suspected(state, entry, timeline.lines);
  }
  return state;
}

/** The place `id`; entries that do not name it are passed over. */
export function place(id: string, entries: Iterable<Entry>): places.Place {
  const state = places.emptyPlace(id);
  const { entries: facts } = standing(about(id, entries));
  for (const entry of byTheirDoers(facts)) visited(state, entry);
  return state;
}

function* about(id: string, entries: Iterable<Entry>): Iterable<Entry> {
  for (const entry of entries) if (entry.about.includes(id)) yield entry;
}

const UNCONFIRMED = "unconfirmed:";

/** Each record by who did what it tells, where a later one with a PIN says who that was. */
function byTheirDoers(entries: readonly Entry[]): readonly Entry[] {
  const doers = new Map<string, string>();
  for (const { kind, confirmed, body } of entries) {
    if (kind !== "settled" || !confirmed) continue;
    if (!body.by || !body.doubt.startsWith(UNCONFIRMED)) continue;
    doers.set(body.doubt.slice(UNCONFIRMED.length), body.by);
  }
  if (doers.size === 0) return entries;
  return entries.map((entry) => ({ ...entry, author: doers.get(entry.id) ?? entry.author }));
}

/** How a batch came to be. */
function began(state: Batch, entry: Entry): boolean {
  const at = entry.occurredAt;
  switch (entry.kind) {
    case "received":
      life.received(state, at, entry.body);
      return true;
    case "taken_on":
      life.takenOn(state, at, entry.body);
      return true;
    case "sown":
      life.sown(state, at, entry.body);
      return true;
    case "emerged":
      life.emerged(state, entry.body);
      return true;
    case "stuck":
      life.stuck(state, at, entry.body);
      return true;
    default:
      return false;
  }
}

/** What it became, where it stands, what it is called. */
function shaped(state: Batch, entry: Entry): boolean {
  const at = entry.occurredAt;
  switch (entry.kind) {
    case "worked":
      life.worked(state, entry.body);
      return true;
    case "split":
    case "pricked":
      life.divided(state, at, entry.body, "split");
      return true;
    case "mixed":
    case "joined":
      life.divided(state, at, entry.body, entry.kind);
      return true;
    case "moved":
      life.stay(state, at, entry.body.to);
      return true;
    case "potted":
      life.stay(state, at, entry.body.place);
      return true;
    case "relabelled":
      life.relabelled(state, entry.body);
      return true;
    case "stepped":
      state.stage = "toughening";
      return true;
    default:
      return false;
  }
}

/** How many live, and where the others went. */
function accounted(state: Batch, entry: Entry): boolean {
  switch (entry.kind) {
    case "counted":
      account.seen(state, entry.body.method, entry.body.alive);
      return true;
    case "lost":
      account.lost(state, entry.body);
      return true;
    case "settled":
      account.settled(state, entry.body);
      return false;
    case "sent":
      account.leave(state, "sent", account.share(state, entry.body.plants));
      return true;
    case "returned":
      account.leave(state, "sent", -account.share(state, entry.body.plants));
      return true;
    case "disposed":
      account.disposed(state, entry.body);
      return true;
    case "planted":
    case "refilled":
      account.planted(state, entry.body, entry.kind === "refilled");
      return true;
    case "carried":
      account.carried(state, entry.body);
      return true;
    default:
      return false;
  }
}

/** What speaks against it, and what answers that. */
function suspected(state: Batch, entry: Entry, lines: Timeline["lines"]): void {
  switch (entry.kind) {
    case "found":
      finds.found(state, entry);
      break;
    case "sampled":
      finds.sampled(state, entry.body, lines);
      break;
    case "resulted":
      finds.resulted(state, entry.body);
      break;
    case "settled":
      finds.mistaken(state, entry, lines);
      break;
    case "ordered":
      finds.orderedOf(state, entry, lines);
      break;
    default:
  }
}

function visited(state: places.Place, entry: Entry): void {
  switch (entry.kind) {
    case "entered":
      places.entered(state, entry);
      break;
    case "left":
      places.left(state, entry);
      break;
    case "treated":
      places.treated(state, entry.body);
      break;
    case "ordered":
      places.ordered(state.holds, entry.occurredAt, entry.body);
      break;
    default:
      seated(state.seats, state.id, entry);
  }
}

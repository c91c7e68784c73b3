/**
 * Meet a book that was restored, or a copy that is no longer whole.
 *
 * What the book lacks of one's own is sent again; a snapshot is built beside the copy in use, and
 * then takes its place. Safe to break off anywhere: until the last step nothing has changed.
 */
import type { Wire } from "../net/sync";
import type { Copy } from "../shelf/copy";
import { refold, takeInOwn } from "../shelf/folding";
import type { Outbox } from "../shelf/outbox";
import type { CopyName } from "../shelf/row";
import { Fetcher } from "./pull";

const IDS_AT_ONCE = 5000;
const TRIES = 5;

/** A restore during a restore, again and again. */
export class Restless extends Error {}

/** The two copies of this phone. */
export type Copies = (name: CopyName) => Copy;

/**
 * @param epoch which book the office keeps now.
 * @returns the copy that is in use now; null where somebody else was there before.
 */
export async function renew(
  outbox: Outbox,
  copies: Copies,
  wire: Wire,
  epoch: string,
): Promise<CopyName | null> {
  const own = await outbox.own();
  if (!own) return null;
  const name = own.copy === "copy-a" ? "copy-b" : "copy-a";
  const other = copies(name);
  let wanted = epoch;
  for (let tries = 0; tries < TRIES; tries += 1) {
    const lacking = await lackingOf(outbox, wire);
    const fetcher = new Fetcher(outbox, own.install);
    const cursor = await fetcher.snapshot(wire, other, null);
    if (cursor.epoch !== wanted) {
      // Restored once more meanwhile: what was asked before holds no more.
      wanted = cursor.epoch;
      continue;
    }
    await takeInOwn(other, outbox);
    await refold(other);
    const lines = await other.lines((await outbox.rows()).map(({ id }) => id));
    const met = await outbox.meet(own, { epoch: wanted, copy: name }, lacking, lines);
    return met ? name : null;
  }
  throw new Restless();
}

/** Which of the records that no tested backup holds the book does not have. */
async function lackingOf(outbox: Outbox, wire: Wire): Promise<Set<string>> {
  const ids = (await outbox.unsafe()).map(({ id }) => id);
  const lacking = new Set<string>();
  for (let start = 0; start < ids.length; start += IDS_AT_ONCE) {
    for (const id of await wire.check(ids.slice(start, start + IDS_AT_ONCE))) lacking.add(id);
  }
  return lacking;
}

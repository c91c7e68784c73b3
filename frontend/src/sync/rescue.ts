/** The outbox as a file: what a grower hands in for a phone that cannot send any more. */
import type { Outbox, Own } from "../shelf/outbox";
import { APP } from "./app";

/** What is on the phone must not be thrown away: some of it stands in no file. */
export class NotExported extends Error {}

/**
 * Everything that no tested backup holds, as the file that the office takes in: exactly the texts,
 * and whose they are. `elsewhere`: instead, what was written for a nursery that the phone left; it
 * must not come into this one's book. What stands in a file is noted.
 */
export async function exported(
  outbox: Outbox,
  own: Own,
  at: string,
  elsewhere: boolean,
): Promise<Blob> {
  const rows = (await outbox.rows()).filter(
    ({ trouble }) => (trouble === "elsewhere") === elsewhere,
  );
  const body = {
    epoch: own.epoch,
    install: own.install,
    phone_time: at,
    app: APP,
    persisted: own.persisted,
    outbox: { unsent: rows.length, n_max: own.n, oldest: rows[0]?.at ?? null },
    entries: rows.map(({ text }) => text),
  };
  await outbox.exported(rows.map(({ id }) => id));
  return new Blob([JSON.stringify(body)], { type: "application/json" });
}

/** Whether nothing would be lost with this phone: all is in a tested backup, or in a file. */
export async function mayWipe(outbox: Outbox): Promise<boolean> {
  return (await outbox.rows()).every((row) => row.exported === true);
}

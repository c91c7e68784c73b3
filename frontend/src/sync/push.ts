/** Sending what waits: oldest first, as much at once as the link takes, and no bad one in the way. */
import { NoNet, Refused, type App, type PushBody, type Receipt, type Wire } from "../net/sync";
import type { Outbox, OutboxRow, Outcome, Own } from "../shelf/outbox";

const MOST = 200;
const GOOD_IN_A_ROW = 3;
/** After so many errors of the office in a row it may be a single record that it fails over. */
const MANY = 10;
const PROBES = 12;
/** So often the phone says that it is there although it has nothing to send: about once an hour. */
const REPORT_EVERY = 120;

interface Load {
  readonly own: Own;
  readonly rows: readonly OutboxRow[];
  /** How much waits in all, these included. */
  readonly count: number;
  readonly oldest: string | null;
}

/** What a receipt told besides the outcomes. */
export interface Sent {
  readonly app: App | null;
}

export class Sender {
  readonly #outbox: Outbox;
  readonly #app: string;
  readonly #now: () => string;
  #size = MOST;
  #good = 0;
  #errors = 0;
  #reported = false;
  #runs = 0;
  readonly #missed = new Set<number>();
  #current: App | null = null;

  constructor(outbox: Outbox, app: string, now: () => string) {
    this.#outbox = outbox;
    this.#app = app;
    this.#now = now;
  }

  /**
   * Send all that waits, and at the end say that nothing waits any more: this is how the office
   * knows what a phone still holds, and how the phone hears what a tested backup holds.
   *
   * @throws NoNet, Refused where nothing more can be sent now.
   */
  async run(wire: Wire): Promise<Sent> {
    const aside = new Map<string, OutboxRow>();
    this.#runs += 1;
    if (this.#runs % REPORT_EVERY === 0) this.#reported = false;
    for (;;) {
      const parcel = await this.#outbox.parcel(this.#size + aside.size);
      if (!parcel) break;
      const rows = parcel.rows.filter(({ id }) => !aside.has(id)).slice(0, this.#size);
      if (rows.length === 0) {
        await this.#alone(wire, [...parcel.stuck, ...aside.values()]);
        if (!this.#reported) await this.#report(wire);
        break;
      }
      try {
        await this.#send(wire, { ...parcel, rows });
        await this.#blame(aside);
      } catch (trouble) {
        await this.#shrink(trouble, rows, aside);
      }
    }
    return { app: this.#current };
  }

  /** The office passed one record and failed over others before it: those are sent alone from now. */
  async #blame(aside: Map<string, OutboxRow>): Promise<void> {
    for (const id of aside.keys()) await this.#outbox.troubled(id, "stuck");
    aside.clear();
  }

  /** Make less of it, or throw on what ends the round. */
  async #shrink(
    trouble: unknown,
    rows: readonly OutboxRow[],
    aside: Map<string, OutboxRow>,
  ): Promise<void> {
    this.#good = 0;
    const half = Math.max(1, Math.floor(rows.length / 2));
    if (trouble instanceof NoNet && trouble.slow) this.#size = half;
    if (!(trouble instanceof Refused)) throw trouble;
    const [first] = rows;
    if (trouble.status === 400 || trouble.status === 413) {
      this.#size = half;
      if (rows.length === 1 && first) await this.#outbox.troubled(first.id, "refused");
    } else if (trouble.status >= 500 && trouble.status !== 503) {
      this.#size = half;
      this.#errors += 1;
      if (this.#errors < MANY || aside.size >= PROBES) throw trouble;
      if (rows.length === 1 && first) aside.set(first.id, first);
    } else throw trouble;
  }

  /** Records over which the office failed before: each gets one try, and holds back nobody. */
  async #alone(wire: Wire, rows: readonly OutboxRow[]): Promise<void> {
    for (const row of rows) {
      const parcel = await this.#outbox.parcel(1);
      if (!parcel) return;
      try {
        await this.#send(wire, { ...parcel, rows: [row] });
      } catch (trouble) {
        if (!(trouble instanceof Refused)) throw trouble;
        if (trouble.status === 400 || trouble.status === 413) {
          await this.#outbox.troubled(row.id, "refused");
        } else if (trouble.status < 500) throw trouble;
      }
    }
  }

  async #report(wire: Wire): Promise<void> {
    const parcel = await this.#outbox.parcel(1);
    if (!parcel) return;
    await this.#send(wire, { ...parcel, rows: [] });
    this.#reported = true;
  }

  async #send(wire: Wire, load: Load): Promise<void> {
    const receipt = await wire.push(this.#body(load));
    this.#errors = 0;
    this.#good += 1;
    if (this.#good >= GOOD_IN_A_ROW) {
      this.#size = Math.min(MOST, this.#size * 2);
      this.#good = 0;
    }
    this.#reported = false;
    this.#current = receipt.app;
    await this.#outbox.acked(outcomes(load.rows, receipt), receipt.durable_seq);
    // Once each: what the office still misses after that, it will not have from here.
    const holes = receipt.holes.filter(([first]) => !this.#missed.has(first));
    holes.forEach(([first]) => this.#missed.add(first));
    if (holes.length > 0) await this.#outbox.missed(holes);
  }

  #body({ own, rows, count, oldest }: Load): PushBody {
    return {
      epoch: own.epoch,
      install: own.install,
      phone_time: this.#now(),
      app: this.#app,
      persisted: own.persisted,
      outbox: { unsent: count, n_max: own.n, oldest, photos: 0, photo_bytes: 0 },
      entries: rows.map(({ text }) => text),
    };
  }
}

/** The outcomes stand in the order of what was sent: an unreadable record has no id to go by. */
function outcomes(rows: readonly OutboxRow[], receipt: Receipt): Map<string, Outcome> {
  return new Map(
    rows.map(({ id }, i): [string, Outcome] => {
      const { status, seq, code, ref } = receipt.results[i] ?? { status: "known" };
      const more = { ...(seq === undefined ? {} : { seq }), ...(code ? { code } : {}) };
      return [id, { id, status, ...more, ...(ref ? { ref } : {}) }];
    }),
  );
}

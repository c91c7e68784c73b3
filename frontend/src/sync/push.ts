/** Sending what waits: oldest first, as much at once as the link takes, and no bad one in the way. */
import { NoNet, Refused, type App, type PushBody, type Receipt, type Wire } from "../net/sync";
import type { Outbox, OutboxRow, Outcome, Parcel } from "../shelf/outbox";

const MOST = 200;
const GOOD_IN_A_ROW = 3;
/** So many errors in one run are enough, whatever else there is to try. */
const MOST_ERRORS = 60;
/** So many records that failed before may fail again in one run. */
const MOST_ALONE = 3;
/** So often the phone says that it is there although it has nothing to send: about once an hour. */
const REPORT_EVERY = 120;

type Load = Pick<Parcel, "own" | "rows" | "count" | "oldest">;

/** Photos that records name and that the office does not have. */
export type PhotosWaiting = () => Promise<{ readonly count: number; readonly bytes: number }>;

const noPhotos: PhotosWaiting = () => Promise.resolve({ count: 0, bytes: 0 });

export class Sender {
  readonly #outbox: Outbox;
  readonly #app: string;
  readonly #now: () => string;
  readonly #photos: PhotosWaiting;
  /** As much as the link takes. */
  #size = MOST;
  /** As much as is tried at once in the search for a record that is in the way. */
  #part = MOST;
  #good = 0;
  #reported = false;
  #runs = 0;
  readonly #missed = new Set<number>();
  #current: App | null = null;

  constructor(outbox: Outbox, app: string, now: () => string, photos = noPhotos) {
    this.#outbox = outbox;
    this.#app = app;
    this.#now = now;
    this.#photos = photos;
  }

  /** What the office knows of this phone is no longer so: tell it with the next run. */
  tellAgain(): void {
    this.#reported = false;
  }

  /**
   * Send all that waits, and at the end say that nothing waits any more: this is how the office
   * knows what a phone still holds, and how the phone hears what a tested backup holds.
   *
   * @throws NoNet, Refused where nothing more can be sent now.
   */
  async run(wire: Wire): Promise<App | null> {
    this.#runs += 1;
    if (this.#runs % REPORT_EVERY === 0) this.#reported = false;
    this.#part = MOST;
    for (let errors = 0; ;) {
      const parcel = await this.#outbox.parcel(Math.min(this.#size, this.#part));
      if (!parcel) break;
      if (parcel.rows.length === 0) {
        await this.#alone(wire, parcel);
        if (!this.#reported) await this.#report(wire);
        break;
      }
      try {
        await this.#send(wire, parcel);
        this.#part *= 2;
      } catch (trouble) {
        errors += 1;
        await this.#shrink(wire, trouble, parcel.rows, errors);
      }
    }
    return this.#current;
  }

  /**
   * Try less of it, or throw on what ends the run.
   *
   * An office that takes an empty push and fails over a full one fails over a record: halves find
   * which, and it holds back the others no longer. One that takes nothing is not to be bothered.
   */
  async #shrink(
    wire: Wire,
    trouble: unknown,
    rows: readonly OutboxRow[],
    errors: number,
  ): Promise<void> {
    const half = Math.max(1, Math.floor(rows.length / 2));
    this.#good = 0;
    if (trouble instanceof NoNet && trouble.slow) this.#size = half;
    if (!(trouble instanceof Refused) || !isAbout(trouble)) throw trouble;
    if (errors > MOST_ERRORS) throw trouble;
    if (trouble.status === 413) this.#size = half;
    this.#part = half;
    const [row] = rows;
    if (rows.length === 1 || errors === 1) await this.#report(wire);
    if (rows.length > 1 || !row) return;
    await this.#outbox.troubled(row.id, troubleOf(trouble));
    this.#part = MOST;
  }

  /** What failed before gets a try of its own; what was refused, once as long as the app is open. */
  async #alone(wire: Wire, { stuck, refused }: Parcel): Promise<void> {
    const again = this.#runs === 1 ? refused : [];
    let errors = 0;
    for (const row of [...stuck, ...again]) {
      if (errors >= MOST_ALONE) return;
      const parcel = await this.#outbox.parcel(1);
      if (!parcel) return;
      try {
        await this.#send(wire, { ...parcel, rows: [row] });
      } catch (trouble) {
        if (!(trouble instanceof Refused) || !isAbout(trouble)) throw trouble;
        errors += 1;
        await this.#outbox.troubled(row.id, troubleOf(trouble));
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
    const receipt = await wire.push(await this.#body(load));
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

  async #body({ own, rows, count, oldest }: Load): Promise<PushBody> {
    const { count: photos, bytes: photo_bytes } = await this.#photos();
    return {
      epoch: own.epoch,
      install: own.install,
      phone_time: this.#now(),
      app: this.#app,
      persisted: own.persisted,
      outbox: { unsent: count, n_max: own.n, oldest, photos, photo_bytes },
      entries: rows.map(({ text }) => text),
      ...(own.wrongPins ? { wrong_pins: own.wrongPins } : {}),
    };
  }
}

/** Whether the office turned down what was sent, and not whoever sent it or the moment. */
function isAbout({ status }: Refused): boolean {
  return status === 400 || status === 413 || (status >= 500 && status !== 503);
}

function troubleOf({ status }: Refused): "refused" | "stuck" {
  return status < 500 ? "refused" : "stuck";
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

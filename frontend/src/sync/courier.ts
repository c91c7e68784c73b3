/** Runs rounds when it is told to, as the only one among all tabs. In a worker, or in the page. */
import { Wire } from "../net/sync";
import { Copy } from "../shelf/copy";
import { Outbox } from "../shelf/outbox";
import { Photos } from "../shelf/photos";
import { APP } from "./app";
import { Baton } from "./baton";
import { Clock } from "./clock";
import { Engine } from "./engine";
import { hub, type Hub } from "./hub";
import { PhotoSender } from "./photos";

export class Courier {
  readonly #hub: Hub;
  readonly #engine: Engine;
  readonly #baton: Baton;
  #running = false;
  #again = false;

  constructor(engine: (hub: Hub) => Engine, ends: Hub = hub(), locks = locksHere()) {
    this.#hub = ends;
    this.#engine = engine(ends);
    this.#baton = new Baton(locks, ends, () => void this.kick());
  }

  /** Go once; what is asked for meanwhile is one more round after it. */
  async kick(): Promise<void> {
    this.#again = true;
    if (this.#running) return;
    this.#running = true;
    try {
      while (this.#wanted()) await this.#baton.hold((signal) => this.#round(signal));
    } catch {
      // Overtaken by another tab, which goes on with it.
    } finally {
      this.#running = false;
    }
  }

  /** Fold what was left to be folded, and say what changed by it. Needs no office. */
  async fold(): Promise<void> {
    await this.#engine.fold();
  }

  #wanted(): boolean {
    const wanted = this.#again;
    this.#again = false;
    return wanted;
  }

  async #round(signal: AbortSignal): Promise<void> {
    const round = await this.#engine.round(signal);
    if (!round || signal.aborted) return;
    const { more, ...news } = round;
    if (more) this.#again = true;
    this.#hub.tell({ t: "round", ...news });
  }
}

function locksHere(): LockManager | undefined {
  return (navigator as { locks?: LockManager }).locks;
}

/** The courier of this phone. */
export function courier(): Courier {
  const outbox = new Outbox();
  const photos = new Photos(outbox);
  const clocks = { wall: () => Date.now(), mono: () => performance.now() };
  return new Courier(
    (ends) =>
      new Engine({
        outbox,
        photos: () => photos.waiting(),
        photoSender: new PhotoSender(photos, outbox, () => clocks.mono()),
        copies: (name) => new Copy(name),
        wire: new Wire(APP),
        app: APP,
        clock: new Clock(clocks),
        clocks,
        onChange: (change) => {
          ends.tell({ t: "changed", ...change });
        },
        onClock: (offset) => {
          ends.tell({ t: "clock", offset });
        },
        onApp: (app) => {
          ends.tell({ t: "app", app });
        },
      }),
  );
}

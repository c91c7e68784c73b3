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
  #glance: AbortController | null = null;

  constructor(engine: (hub: Hub) => Engine, ends: Hub = hub(), locks = locksHere()) {
    this.#hub = ends;
    this.#engine = engine(ends);
    this.#baton = new Baton(locks, ends, () => void this.kick());
    ends.on(({ t }) => {
      if (t === "wants") this.#glance?.abort();
    });
  }

  /** Go once; what is asked for meanwhile is one more round after it. */
  async kick(): Promise<void> {
    this.#again = true;
    if (this.#running) return;
    this.#running = true;
    this.#glance?.abort();
    this.#hub.tell({ t: "wants" });
    try {
      while (this.#wanted()) await this.#baton.hold((signal) => this.#round(signal));
    } catch {
      // Overtaken by another tab, which goes on with it.
    } finally {
      this.#running = false;
    }
  }

  /** Look whether others wrote something, unless a round goes on somewhere: it looks as well. */
  async glance(): Promise<void> {
    if (this.#running || this.#glance) return;
    const glance = new AbortController();
    this.#glance = glance;
    try {
      await this.#baton.ifFree(glance, () => this.#look(glance.signal));
    } catch {
      // Overtaken by another tab, which goes on with it.
    } finally {
      this.#glance = null;
    }
  }

  /** What is no plain answer is for a round to find out about, unless the office wants to rest. */
  async #look(signal: AbortSignal): Promise<void> {
    const trouble = await this.#engine.glance(signal);
    if (signal.aborted) return;
    this.#hub.tell({ t: "glance", good: trouble === null });
    if (trouble === null) return;
    if (trouble.retryAfterS !== null) this.#hub.tell({ t: "round", ...trouble });
    else void this.kick();
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

/**
 * One sender among all tabs. Whoever sends holds a lock of the browser and says every few seconds
 * that it is alive; a holder that falls silent, since its tab was frozen, is overtaken.
 *
 * What an overtaken sender still does is harmless: it is broken off at its next step, and each
 * step checks where the copy stands.
 */
import type { Hub } from "./hub";

const LOCK = "sync";
const BEAT_MS = 5000;
const SILENT_MS = 15_000;
const UNHEARD_MS = 7000;
const SPREAD_MS = 4000;

export class Baton {
  readonly #locks: LockManager | undefined;
  readonly #hub: Hub;
  readonly #now: () => number;
  /** Two tabs that wait for one that is frozen do not take it from each other. */
  readonly #patience = Math.random() * SPREAD_MS;
  #heard = 0;
  #watch: ReturnType<typeof setTimeout> | undefined;

  /** @param onSilent called once when another sender was begun and then not heard any more. */
  constructor(
    locks: LockManager | undefined,
    hub: Hub,
    onSilent: () => void,
    now: () => number = () => performance.now(),
  ) {
    this.#locks = locks;
    this.#hub = hub;
    this.#now = now;
    hub.on(({ t }) => {
      if (t !== "beat" && t !== "idle") return;
      clearTimeout(this.#watch);
      this.#heard = t === "beat" ? now() : 0;
      if (t === "beat") this.#watch = setTimeout(onSilent, SILENT_MS);
    });
  }

  /** Do some work as the only sender. It is told by the signal where it is overtaken. */
  async hold(work: (signal: AbortSignal) => Promise<void>): Promise<void> {
    if (!this.#locks) return work(new AbortController().signal);
    const waiting = new AbortController();
    const patience = this.#outwait(waiting);
    try {
      await this.#request({ signal: waiting.signal }, work, () => {
        clearInterval(patience);
      });
    } catch (fault) {
      if (!waiting.signal.aborted) throw fault;
      await this.#request({ steal: true }, work);
    } finally {
      clearInterval(patience);
    }
  }

  /**
   * Do some work if nobody else is at it, else nothing. Whoever waits for the lock meanwhile is not
   * held up for long: it tells so, and then `until` ends this.
   */
  async ifFree(until: AbortController, work: () => Promise<void>): Promise<void> {
    if (!this.#locks) return work();
    try {
      await this.#locks.request(LOCK, { ifAvailable: true }, async (lock) => {
        if (lock) await work();
      });
    } finally {
      // Where it was stolen, this ends before the work does.
      until.abort();
    }
  }

  /** Give up waiting once the holder has been silent for too long. */
  #outwait(waiting: AbortController): ReturnType<typeof setInterval> {
    const began = this.#now();
    return setInterval(() => {
      const now = this.#now();
      // Who holds it and was never heard may just not have spoken since this tab was opened.
      const silent = this.#heard > 0 ? now - this.#heard - SILENT_MS : now - began - UNHEARD_MS;
      if (silent >= this.#patience) waiting.abort();
    }, 500);
  }

  async #request(
    options: LockOptions,
    work: (signal: AbortSignal) => Promise<void>,
    got?: () => void,
  ): Promise<void> {
    const held = new AbortController();
    try {
      await this.#locks?.request(LOCK, options, async () => {
        got?.();
        await this.#alive(() => work(held.signal));
      });
    } finally {
      // A lock that was stolen ends here before the work does.
      held.abort();
    }
  }

  async #alive(work: () => Promise<void>): Promise<void> {
    const beat = (): void => {
      this.#hub.tell({ t: "beat" });
    };
    beat();
    const beating = setInterval(beat, BEAT_MS);
    try {
      await work();
    } finally {
      clearInterval(beating);
      this.#hub.tell({ t: "idle" });
    }
  }
}

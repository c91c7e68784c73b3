import { speech } from "../../parts/speech.svelte";
import { choose, chosen } from "../../shelf/settings";
import { spent } from "./telling";

const SECOND = 1000;

/** The clock of a drill. It runs on when the page is shut: its start is kept on this machine. */
class Clock {
  #since = $state<number | null>(null);
  #now = $state(0);
  #timer: ReturnType<typeof setInterval> | undefined;

  constructor() {
    const before = Number(chosen("drill") ?? "");
    if (before > 0) this.#run(before);
  }

  get running(): boolean {
    return this.#since !== null;
  }

  get seconds(): number {
    return this.#since === null ? 0 : Math.max(0, Math.round((this.#now - this.#since) / SECOND));
  }

  get says(): string {
    return speech.say("trace.clock", { ...spent(this.seconds) });
  }

  start(): void {
    const now = Date.now();
    choose("drill", String(now));
    this.#run(now);
  }

  stop(): number {
    this.#now = Date.now();
    const took = this.seconds;
    clearInterval(this.#timer);
    choose("drill", "");
    this.#since = null;
    return took;
  }

  #run(since: number): void {
    this.#since = since;
    this.#now = Date.now();
    clearInterval(this.#timer);
    this.#timer = setInterval(() => {
      this.#now = Date.now();
    }, SECOND);
  }
}

export const clock = new Clock();

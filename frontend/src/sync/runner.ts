/**
 * When this page sends and fetches: on open, on coming back, on `online`, after saving, and every
 * half minute. The work is done in a worker; where none starts, in the page.
 */
import type { Hub } from "./hub";
import { Pace, type Kick } from "./pace";

const READY_MS = 10_000;
const LONGEST_ROUND_MS = 60_000;

export class Runner {
  readonly #pace = new Pace();
  readonly #now = (): number => performance.now();
  #go: Promise<() => void> | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #at = Infinity;
  /** For what the next try is due. */
  #why: Kick = "tick";
  #waiting: (() => void)[] = [];
  #watching = false;

  constructor(hub: Hub) {
    hub.on((news) => {
      if (news.t === "beat") this.#pace.began(this.#now());
      if (news.t !== "round") return;
      this.#pace.ended(this.#now(), news.standing, news.retryAfterS);
      this.#waiting.splice(0).forEach((done) => {
        done();
      });
      this.#tick();
    });
  }

  /** Begin, once. */
  watch(): void {
    if (this.#watching) return;
    this.#watching = true;
    const back = (): void => {
      this.want("person");
    };
    addEventListener("online", back);
    addEventListener("focus", back);
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") back();
    });
    back();
  }

  /** Try the office as soon as it may be tried for this reason. */
  want(kick: Kick): void {
    const at = this.#now() + this.#pace.due(kick, this.#now());
    if (at >= this.#at) return;
    clearTimeout(this.#timer);
    this.#at = at;
    this.#why = kick;
    this.#timer = setTimeout(() => void this.#kick(), at - this.#now());
  }

  /** One round by a person's wish; resolves when one is over, or cannot be waited for. */
  async once(): Promise<void> {
    const over = new Promise<void>((done) => {
      this.#waiting.push(done);
      setTimeout(done, LONGEST_ROUND_MS);
    });
    this.want("asked");
    await over;
  }

  /** A round is over. What a person saved while it went on is still due, and no tick of the clock. */
  #tick(): void {
    const why = this.#at === Infinity ? "tick" : this.#why;
    clearTimeout(this.#timer);
    this.#at = Infinity;
    this.want(why);
  }

  async #kick(): Promise<void> {
    this.#at = Infinity;
    this.#pace.began(this.#now());
    // A round that says nothing, since another tab holds the office's attention, is asked for anew.
    this.want("tick");
    this.#go ??= courierOf();
    (await this.#go)();
  }
}

/** Who does the work: a worker where one starts, else this page. */
async function courierOf(): Promise<() => void> {
  const worker = await workerOf();
  if (worker) {
    return () => {
      worker.postMessage("go");
    };
  }
  const { courier } = await import("./courier");
  const here = courier();
  return () => void here.kick();
}

function workerOf(): Promise<Worker | null> {
  return new Promise((done) => {
    try {
      const worker = new Worker(new URL("./worker.ts", import.meta.url), { type: "module" });
      const give = (found: Worker | null): void => {
        clearTimeout(patience);
        if (!found) worker.terminate();
        done(found);
      };
      const patience = setTimeout(give, READY_MS, null);
      worker.onmessage = () => {
        give(worker);
      };
      worker.onerror = () => {
        give(null);
      };
    } catch {
      done(null);
    }
  });
}

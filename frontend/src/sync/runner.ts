/**
 * When this page sends and fetches: on open, on coming back, on `online`, after saving, and every
 * half minute. While somebody is at it, it glances at the office in between for what others wrote.
 * The work is done in a worker; where none starts, in the page.
 */
import type { Hub } from "./hub";
import { Pace, type Kick } from "./pace";

const READY_MS = 10_000;
const LONGEST_ROUND_MS = 60_000;
const GLANCE_AGAIN_MS = 1200;
const TOUCHES = ["pointerdown", "keydown", "wheel"];

export class Runner {
  readonly #pace = new Pace();
  readonly #now = (): number => performance.now();
  #hands: Promise<Hands> | null = null;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #at = Infinity;
  /** For what the next try is due. */
  #why: Kick = "tick";
  #waiting: (() => void)[] = [];
  #watching = false;
  #touchedAt = -Infinity;
  #glance: ReturnType<typeof setTimeout> | undefined;

  constructor(hub: Hub) {
    hub.on((news) => {
      if (news.t === "beat") this.#pace.began(this.#now());
      if (news.t === "glance") {
        this.#pace.glanced(this.#now(), news.good);
        this.#look();
      }
      if (news.t !== "round") return;
      this.#pace.ended(this.#now(), news.standing, news.retryAfterS);
      this.#waiting.splice(0).forEach((done) => {
        done();
      });
      this.#tick();
      this.#look();
    });
  }

  /** Begin, once. */
  watch(): void {
    if (this.#watching) return;
    this.#watching = true;
    const back = (): void => {
      this.want("person");
      this.#touched();
    };
    for (const touch of TOUCHES) {
      addEventListener(touch, this.#touched, { capture: true, passive: true });
    }
    addEventListener("online", back);
    addEventListener("focus", back);
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") back();
      else this.#look();
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

  /** Fold what quick taps left stale, where no finger waits for it. */
  async fold(): Promise<void> {
    this.#hands ??= handsOf();
    (await this.#hands).fold();
  }

  /** A round is over. What a person saved while it went on is still due, and no tick of the clock. */
  #tick(): void {
    const why = this.#at === Infinity ? "tick" : this.#why;
    clearTimeout(this.#timer);
    this.#at = Infinity;
    this.want(why);
  }

  readonly #touched = (): void => {
    this.#touchedAt = this.#now();
    if (this.#glance === undefined) this.#look();
  };

  /** Glance as soon as may be, if at all: at a page that nobody sees nobody waits for news. */
  #look(): void {
    clearTimeout(this.#glance);
    this.#glance = undefined;
    const wait = this.#pace.glance(this.#now(), this.#touchedAt);
    if (wait === null || document.visibilityState !== "visible" || savesData()) return;
    this.#glance = setTimeout(() => void this.#take(), wait);
  }

  async #take(): Promise<void> {
    // One that is left out, since a round goes on, says nothing and is asked for anew.
    this.#glance = setTimeout(() => {
      this.#look();
    }, GLANCE_AGAIN_MS);
    this.#hands ??= handsOf();
    (await this.#hands).glance();
  }

  async #kick(): Promise<void> {
    this.#at = Infinity;
    this.#pace.began(this.#now());
    // A round that says nothing, since another tab holds the office's attention, is asked for anew.
    this.want("tick");
    this.#hands ??= handsOf();
    (await this.#hands).go();
  }
}

interface Hands {
  readonly go: () => void;
  readonly fold: () => void;
  readonly glance: () => void;
}

/** Whether a person told the browser to ask for little, as one does who pays for it. */
function savesData(): boolean {
  return (navigator as { connection?: { saveData?: boolean } }).connection?.saveData === true;
}

/** Who does the work: a worker where one starts, else this page. */
async function handsOf(): Promise<Hands> {
  const worker = await workerOf();
  if (worker) {
    const tell = (what: string) => (): void => {
      worker.postMessage(what);
    };
    return { go: tell("go"), fold: tell("fold"), glance: tell("glance") };
  }
  const { courier } = await import("./courier");
  const here = courier();
  return {
    go: () => void here.kick(),
    fold: () => void here.fold(),
    glance: () => void here.glance(),
  };
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

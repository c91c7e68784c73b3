/**
 * When to try the office again. Nothing is ever given up; only the waits grow.
 *
 * What a person does tries at once, though never twice within two seconds; what the clock does
 * waits its turn.
 */
export type Standing =
  "calm" | "no_net" | "later" | "sign_in" | "revoked" | "update_first" | "disk_full" | "shelf";

/** `tick`: half a minute went by. `person`: opened, came back, saved, signal. `asked`: a tap for it. */
export type Kick = "tick" | "person" | "asked";

const TICK_MS = 30_000;
const GAP_MS = 2000;
const FIRST_MS = 2000;
const LONGEST_MS = 300_000;
const PAUSED_MS = 900_000;
/** What others wrote is to be seen within two seconds, while somebody looks. */
const GLANCE_MS = 1200;
const SPREAD_MS = 200;
const TOUCHED_MS = 300_000;

export class Pace {
  readonly #random: () => number;
  #last = -Infinity;
  #failures = 0;
  /** Whether the last round heard nothing at all. */
  #silent = false;
  #tickAt = 0;
  /** Before this moment not even a person's act tries: the office asked for it. */
  #notBefore = 0;
  #calm = false;
  #glanceAt = 0;

  constructor(random: () => number = Math.random) {
    this.#random = random;
  }

  /** A round begins, here or in another tab. */
  began(now: number): void {
    this.#last = now;
    this.#tickAt = now + TICK_MS;
  }

  /** A round is over. */
  ended(now: number, standing: Standing, retryAfterS: number | null = null): void {
    this.#notBefore = retryAfterS === null ? 0 : now + retryAfterS * 1000;
    // Nine days without signal are no reason to wait long for an office that answers again.
    if (this.#silent && standing !== "no_net") this.#failures = 0;
    this.#silent = standing === "no_net";
    this.#calm = standing === "calm";
    this.#failures = standing === "calm" || standing === "update_first" ? 0 : this.#failures + 1;
    this.#tickAt = Math.max(now + this.#wait(standing), this.#notBefore);
  }

  /** Milliseconds from now until a try for this reason may begin. */
  due(kick: Kick, now: number): number {
    const gap = this.#last + GAP_MS;
    const at = kick === "tick" ? this.#tickAt : Math.max(gap, this.#notBefore);
    return Math.max(0, (kick === "asked" ? gap : at) - now);
  }

  /** A glance is over, here or in another tab. After one that failed the clock's rounds will do. */
  glanced(now: number, good: boolean): void {
    this.#glanceAt = now + (good ? GLANCE_MS + this.#random() * SPREAD_MS : TICK_MS);
  }

  /**
   * Milliseconds from now until a glance may begin; null where none may: the last round was not
   * calm, or nobody has touched the page for minutes.
   */
  glance(now: number, touchedAt: number): number | null {
    if (!this.#calm || now - touchedAt >= TOUCHED_MS) return null;
    return Math.max(0, this.#glanceAt - now);
  }

  #wait(standing: Standing): number {
    if (this.#failures === 0) return TICK_MS;
    if (standing === "sign_in" || standing === "revoked") return PAUSED_MS;
    const grown = Math.min(LONGEST_MS, FIRST_MS * 2 ** Math.min(this.#failures - 1, 30));
    // Thirty phones that lost the same Wi-Fi do not come back in the same second.
    return Math.round(grown * (0.75 + this.#random() / 2));
  }
}

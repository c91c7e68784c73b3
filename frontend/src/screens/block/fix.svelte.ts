/** Where this phone is. It is asked on a tap alone, needs no network, and stops with what asked. */
import { GOOD_M } from "./outline";
import type { Place } from "./plane";

export interface Fix {
  readonly place: Place;
  /** 95 % of fixes lie within so many metres. */
  readonly off: number;
}

/** Why there is none, by the code of a `GeolocationPositionError`. */
const WHY = { 1: "denied", 2: "none", 3: "late" } as const;
export type Unknown = (typeof WHY)[keyof typeof WHY];
const PATIENCE_MS = 60_000;

/** Make it while a component begins. */
export class Whereabouts {
  /** The last fix of the one that is waited for. */
  fix = $state.raw<Fix | null>(null);
  waits = $state(false);
  unknown = $state<Unknown | null>(null);
  #watch: number | null = null;
  #taken: ((fix: Fix) => void) | null = null;

  constructor() {
    $effect(() => () => {
      this.stop();
    });
  }

  /** Wait for a fix that is good enough; `take` hears of it once. */
  ask(take: (fix: Fix) => void): void {
    this.stop();
    this.unknown = null;
    // No such thing on a page that is not served by https, or in an old browser.
    if (!("geolocation" in navigator)) {
      this.unknown = "none";
      return;
    }
    this.waits = true;
    this.#taken = take;
    this.#watch = navigator.geolocation.watchPosition(
      ({ coords }) => {
        this.unknown = null;
        this.fix = { place: [coords.longitude, coords.latitude], off: coords.accuracy };
        if (coords.accuracy <= GOOD_M) this.take();
      },
      ({ code }) => {
        // A fix that came before still may be taken.
        this.unknown = WHY[code as keyof typeof WHY];
        if (this.fix === null) this.stop();
      },
      { enableHighAccuracy: true, maximumAge: 0, timeout: PATIENCE_MS },
    );
  }

  /** Take the last fix, however far off it may lie. */
  take(): void {
    const [fix, taken] = [this.fix, this.#taken];
    this.stop();
    if (fix && taken) taken(fix);
  }

  stop(): void {
    if (this.#watch !== null) navigator.geolocation.clearWatch(this.#watch);
    this.#watch = null;
    this.#taken = null;
    this.fix = null;
    this.waits = false;
  }
}

/** A newer build of the app waits until a person takes it: never under a half-written record. */
import { APP } from "../sync/app";
import { forms } from "./forms.svelte";

/**
 * So long a browser may leave the worker of the build before at work once a newer one was taken.
 * It may do so for minutes; opening the sheet anew makes it look again.
 */
const PATIENCE_MS = 3000;

class Update {
  #waiting = $state.raw<ServiceWorker | null>(null);
  #registration: ServiceWorkerRegistration | null = null;
  #taken = false;

  /** The build that can be taken now; null while something stands unsaved on the page. */
  get waiting(): ServiceWorker | null {
    return forms.dirty ? null : this.#waiting;
  }

  readonly take = (): void => {
    if (!this.waiting) return;
    this.#taken = true;
    this.waiting.postMessage("take");
    setTimeout(this.#open, PATIENCE_MS);
  };

  readonly #open = (): void => {
    if (!forms.dirty) location.reload();
  };

  /** The office named the current version: look for it at once where it is not this one. */
  heard(current: string): void {
    if (current !== APP) void this.#registration?.update().catch(() => undefined);
  }

  async watch(): Promise<void> {
    if (!("serviceWorker" in navigator)) return;
    navigator.serviceWorker.addEventListener("controllerchange", () => {
      if (this.#taken) this.#open();
    });
    try {
      const registration = await navigator.serviceWorker.register("/sw.js");
      this.#registration = registration;
      this.#note(registration);
      this.#takeAtStart();
      registration.addEventListener("updatefound", () => {
        registration.installing?.addEventListener("statechange", () => {
          this.#note(registration);
        });
      });
    } catch {
      // Without a certificate that the browser trusts there is none; the sheets work with signal.
    }
  }

  /** What waits since the app was last open is taken now, before anybody has begun anything. */
  #takeAtStart(): void {
    if (!this.waiting) return;
    this.#taken = true;
    this.waiting.postMessage("take_if_alone");
  }

  #note(registration: ServiceWorkerRegistration): void {
    // The first build of all has nothing to wait for.
    if (navigator.serviceWorker.controller) this.#waiting = registration.waiting;
  }
}

export const update = new Update();

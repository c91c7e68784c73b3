/** A newer build of the app waits until a person takes it: never under a half-written record. */
class Update {
  waiting = $state.raw<ServiceWorker | null>(null);
  #taken = false;

  readonly take = (): void => {
    this.#taken = true;
    this.waiting?.postMessage("take");
  };

  async watch(): Promise<void> {
    if (!("serviceWorker" in navigator)) return;
    navigator.serviceWorker.addEventListener("controllerchange", () => {
      if (this.#taken) location.reload();
    });
    try {
      const registration = await navigator.serviceWorker.register("/sw.js");
      this.#note(registration);
      registration.addEventListener("updatefound", () => {
        registration.installing?.addEventListener("statechange", () => {
          this.#note(registration);
        });
      });
    } catch {
      // Without a certificate that the browser trusts there is none; the sheets work with signal.
    }
  }

  #note(registration: ServiceWorkerRegistration): void {
    // The first build of all has nothing to wait for.
    if (navigator.serviceWorker.controller) this.waiting = registration.waiting;
  }
}

export const update = new Update();

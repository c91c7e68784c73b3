/**
 * A phone in the inspector's hand: it shows one consignment's file and nothing else, until a grower
 * takes it back by their PIN. A page that is loaded anew is still handed over.
 */
const KEY = "handed";

function kept(): string | null {
  try {
    return localStorage.getItem(KEY);
  } catch {
    return null;
  }
}

class Handed {
  /** Whose file it shows; null where the phone is its people's own. */
  consignment = $state<string | null>(kept());

  over(consignment: string): void {
    this.consignment = consignment;
    try {
      localStorage.setItem(KEY, consignment);
    } catch {
      // It lasts as long as the page then.
    }
  }

  back(): void {
    this.consignment = null;
    try {
      localStorage.removeItem(KEY);
    } catch {
      // Nothing was kept.
    }
  }
}

export const handed = new Handed();

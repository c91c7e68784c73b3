/** Where a look-over was opened from, so that it ends there and Back never walks through old trays. */
class Trail {
  #from: string | null = null;

  /** The round is left for a tray. */
  leave(): void {
    this.#from = location.hash;
  }

  /** Whether this sheet was opened from the round, just before. Asked once. */
  back(): boolean {
    const from = this.#from;
    this.#from = null;
    return from !== null;
  }
}

export const trail = new Trail();

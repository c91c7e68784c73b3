/** Subjects that are folded once quick taps rest: each of them would be folded anew at every tap. */
const REST_MS = 800;

export class Later {
  readonly #fold: () => void;
  readonly #subjects = new Set<string>();
  #open = 0;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(fold: () => void) {
    this.#fold = fold;
  }

  /** Whether what is shown of it is ahead of its fold. */
  has(subject: string): boolean {
    return this.#subjects.has(subject);
  }

  /** Save something about a subject; it is folded when this and all that began meanwhile is over. */
  async during<T>(subject: string, work: () => Promise<T>): Promise<T> {
    clearTimeout(this.#timer);
    this.#subjects.add(subject);
    this.#open += 1;
    try {
      return await work();
    } finally {
      this.#open -= 1;
      if (this.#open === 0) this.#timer = setTimeout(this.#rested, REST_MS);
    }
  }

  readonly #rested = (): void => {
    this.#subjects.clear();
    this.#fold();
  };
}

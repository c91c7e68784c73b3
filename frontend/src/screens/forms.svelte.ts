import { SvelteSet } from "svelte/reactivity";

/** Keys of the forms that hold something unsaved: a new version of the app waits for them. */
class Forms {
  readonly #dirty = new SvelteSet<string>();

  get dirty(): boolean {
    return this.#dirty.size > 0;
  }

  note(key: string, dirty: boolean): void {
    if (dirty) this.#dirty.add(key);
    else this.#dirty.delete(key);
  }
}

export const forms = new Forms();

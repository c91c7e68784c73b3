/**
 * What stands in a form and is not saved yet. It outlives a page that is killed: a camera, a full
 * memory or a flat battery must not cost a count.
 */
import { SvelteSet } from "svelte/reactivity";
import { dropDraft, keepDraft, keptDraft } from "../shelf/drafts";
import { phone } from "./phone.svelte";

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

/**
 * The fields of one form. Make it while a component begins; `fields` is reactive and kept at each
 * change, under the writer's own name. Call `done` once the record is saved or given up.
 */
export class Draft<T extends object> {
  fields: T;
  readonly #key: string;
  #over = false;

  constructor(name: string, blank: T) {
    this.#key = `${phone.writer?.person ?? ""}/${name}`;
    const fresh = JSON.stringify(blank);
    const fields = $state<T>({ ...blank, ...keptDraft<T>(this.#key, Date.now()) });
    this.fields = fields;
    $effect(() => {
      const now = JSON.stringify($state.snapshot(this.fields));
      if (this.#over) return;
      forms.note(this.#key, now !== fresh);
      if (now === fresh) dropDraft(this.#key);
      else keepDraft(this.#key, now, Date.now());
    });
    $effect(() => () => {
      forms.note(this.#key, false);
    });
  }

  done(): void {
    this.#over = true;
    dropDraft(this.#key);
    forms.note(this.#key, false);
  }
}

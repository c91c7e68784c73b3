/**
 * What stands in a form and is not saved yet. It outlives a page that is killed: a camera, a full
 * memory or a flat battery must not cost a count.
 */
import { dropDraft, keepDraft, keptDraft } from "../shelf/drafts";
import { forms } from "./forms.svelte";
import { phone } from "./phone.svelte";

export { forms };

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

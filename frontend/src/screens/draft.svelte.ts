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

  /** One left alone for longer than `most` milliseconds is begun anew; a day where that is not said. */
  constructor(name: string, blank: T, most?: number) {
    this.#key = keyOf(name);
    const fresh = JSON.stringify(blank);
    const fields = $state<T>({ ...blank, ...keptDraft<T>(this.#key, Date.now(), most) });
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

function keyOf(name: string): string {
  return `${phone.writer?.person ?? ""}/${name}`;
}

/** Put something into a form that is not open: it stands there when the form is opened next. */
export function putInto(name: string, some: object): void {
  const key = keyOf(name);
  const kept = { ...keptDraft<object>(key, Date.now()), ...some };
  keepDraft(key, JSON.stringify(kept), Date.now());
}

/** Forget what stands in a form that is not open. */
export function forget(name: string): void {
  dropDraft(keyOf(name));
}

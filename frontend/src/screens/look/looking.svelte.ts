import type { Instant } from "../../log/entry";
import { listed, lookDrafts, planOf, plantsOf, type LookForm, type Through } from "../../log/look";
import type { Term } from "../../log/bag";
import { book } from "../book.svelte";
import { rowsInUse } from "../in-use";
import { names } from "../names.svelte";
import { phone } from "../phone.svelte";
import { rounds } from "../round/rounds.svelte";

interface ListRow {
  readonly version: number;
  readonly items: readonly { readonly id: string; readonly plants?: number | null }[];
  readonly asked_at?: string;
}

/** What one look-over is about: a batch, or a place in which nothing of ours stands. */
export class Looking {
  readonly #id: () => string;

  constructor(id: () => string) {
    this.#id = id;
  }

  get batch() {
    return phone.batches.get(this.#id()) ?? null;
  }

  get label(): string {
    const { batch } = this;
    return batch ? (batch.label ?? batch.id) : names.of("place", this.#id());
  }

  readonly turn = $derived.by(() => rounds.turn(this.#id()));
  readonly through = $derived.by(() => this.#through());

  plan(form: LookForm) {
    return this.through ? planOf(this.through, this.batch?.alive ?? null, form.seen) : [];
  }

  plants(form: LookForm): number | null {
    return plantsOf(this.plan(form), this.batch?.alive ?? null);
  }

  drafts(form: LookForm, keeps: boolean) {
    return lookDrafts(form, {
      id: this.#id(),
      alive: this.batch?.alive ?? null,
      check: this.turn?.check?.id ?? null,
      through: this.through,
      now: book.now() as Instant,
      keeps,
      grave: this.isGrave(form.pest),
    });
  }

  /** A pest that some permit or rule lists is handled as a suspicion by whoever sees it. */
  isGrave(pest: string): boolean {
    return pest !== "" && this.#listed.has(pest);
  }

  /** Pests that live on this crop, and those of which nobody said on what they live. */
  get pests(): readonly { id: string; grave: boolean }[] {
    const crop = this.batch?.crop ?? null;
    return rowsInUse("pest")
      .filter(({ body }) => {
        const hosts = (body["hosts"] ?? []) as readonly string[];
        return hosts.length === 0 || (crop !== null && hosts.includes(crop));
      })
      .map(({ id }) => ({ id, grave: this.#listed.has(id) }));
  }

  readonly #listed = $derived.by(() => {
    const terms = [
      ...phone.rowsOf("permit").flatMap(({ body }) => (body["terms"] ?? []) as readonly Term[]),
      ...phone.rowsOf("due_rule").map(({ body }) => body["term"] as Term),
    ];
    return listed(terms, book.today);
  });

  /** The checklist of the last look of this batch, else the first that is for look-overs. */
  #through(): Through | null {
    const rows = rowsInUse("checklist")
      .map(({ id, body }) => ({ id, list: body as unknown as ListRow }))
      .filter(({ list }) => (list.asked_at ?? "look_over") === "look_over")
      .sort((a, b) => (a.id < b.id ? -1 : 1));
    const last = this.batch?.lately.look?.checklist ?? null;
    const row = rows.find(({ id }) => id === last) ?? rows[0];
    if (!row) return null;
    const items = row.list.items.map(({ id, plants = null }) => ({ id, plants }));
    return { id: row.id, version: row.list.version, items };
  }
}

/** What one look at a row is about, and the records that it makes. */
import type { Instant } from "../../log/entry";
import { seatOf, type LayoutOf, type RowOf } from "../../log/planting-row";
import {
  foundDraft,
  mostOf,
  pickable,
  scoutDrafts,
  type About,
  type ScoutForm,
} from "../../log/scouting";
import type { Draft } from "../../log/write";
import { buzz } from "../../parts/buzz";
import { book } from "../book.svelte";
import { putInto } from "../draft.svelte";
import { rowsInUse } from "../in-use";
import { Looking } from "../look/looking.svelte";
import { names } from "../names.svelte";
import { phone } from "../phone.svelte";
import { here, to } from "../route.svelte";

/** Make it while a component begins. */
export class Scouting {
  readonly seat: string;
  readonly #layout: LayoutOf;
  readonly #row: RowOf;
  readonly #looking: Looking;
  readonly #kept = $derived.by(() => phone.places.get(this.seat) ?? null);

  constructor(layout: LayoutOf, row: RowOf) {
    this.#layout = layout;
    this.#row = row;
    this.seat = seatOf(layout.id, row);
    this.#looking = new Looking(() => this.seat);
  }

  get label(): string {
    return names.of("place", this.seat);
  }

  readonly most = $derived.by(() => mostOf(this.#row, this.#kept));
  readonly positions = $derived.by(() => pickable(this.#row, this.#kept));

  /** Pests that live on the crop of the block, and those of which nobody said on what they live. */
  readonly pests = $derived.by(() => {
    const crop = this.#layout.crop ?? "";
    return rowsInUse("pest")
      .filter(({ body }) => {
        const hosts = (body["hosts"] ?? []) as readonly string[];
        return hosts.length === 0 || hosts.includes(crop);
      })
      .map(({ id }) => ({ id, grave: this.isGrave(id) }));
  });

  isGrave(pest: string): boolean {
    return this.#looking.isGrave(pest);
  }

  drafts(form: ScoutForm): Draft[] {
    return scoutDrafts(form, this.#about(this.isGrave(form.pest)));
  }

  /** That something is seen which nobody here knows, at the positions that were chosen. */
  unknown(form: ScoutForm): Draft {
    return foundDraft({ ...form, pest: "" }, this.#about(true));
  }

  /**
   * Go on with what is done after a suspicion, which is on the disk. Only the grower takes back what
   * started a hold. The find that is described there keeps what was said of it here.
   */
  suspects(find: string, about: readonly string[], form: ScoutForm, pest: string): void {
    phone.last = null;
    buzz();
    const { positions, symptom, part } = form;
    putInto(`suspect/${find}`, {
      ...{ pest, positions: [...positions], symptom, part },
      plants: Math.max(1, positions.length),
    });
    here.go(to("suspect", about[1] ?? this.seat, find), true);
  }

  #about(grave: boolean): About {
    const block = this.#layout.id;
    return { block, row: this.#row, kept: this.#kept, now: book.now() as Instant, grave };
  }
}

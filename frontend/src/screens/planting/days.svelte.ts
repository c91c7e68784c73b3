/** The planting days that the office told, each with what this phone has learned since. */
import { afield, type Afield, type Told } from "../../log/afield";
import { local } from "../../words/local";
import { speech } from "../../parts/speech.svelte";
import { book } from "../book.svelte";
import { instantAt } from "../day";
import { names } from "../names.svelte";
import { phone } from "../phone.svelte";
import { BookOf } from "../room/book-of.svelte";
import { tree } from "../room/seats.svelte";
import { now } from "../world.svelte";

const NOON = "12:00";
const NO_GROUPS: readonly Told[] = [];

export function groupsTold(): readonly Told[] {
  return phone.outlook?.planting ?? NO_GROUPS;
}

/** A consignment's name, or that of the crop of plants that came by none. */
export function calledOf({ id, name }: Told): string {
  return name ?? names.of("consignment", id);
}

/** Make it while a component begins: it reads the records about the plants and their blocks. */
export class DayAfield {
  readonly #told: () => Told;
  readonly #book: BookOf;
  readonly now: Afield = $derived.by(() => this.#judged());

  constructor(told: () => Told) {
    this.#told = told;
    this.#book = new BookOf(() => this.#subjects());
  }

  get told(): Told {
    return this.#told();
  }

  #subjects(): string[] {
    const around = this.told.blocks.flatMap(({ id }) => tree.all.outward(id));
    return [...this.told.batches, ...around].filter((one, i, all) => all.indexOf(one) === i);
  }

  #judged(): Afield {
    const upTo = phone.outlook?.as_of_seq ?? 0;
    const fresh = this.#book.lines.filter(({ seq }) => seq === null || seq > upTo);
    const seats = [...this.told.batches, ...this.told.blocks.map(({ id }) => id)];
    return afield(this.told, {
      today: book.today,
      dayOf: (at) => local(at, speech.house.zone).day,
      entries: this.#book.entries,
      fresh: fresh.map(({ id }) => id),
      outward: (place) => tree.all.outward(place),
      growers: growers(),
      held: this.told.batches.some((id) => now.world.isHeld(id)),
      reentry: (on) =>
        now.world
          .shut(seats)
          .some(
            ({ until, unknown }) =>
              unknown || (until !== null && until > instantAt(on, NOON, speech.house.zone)),
          ),
    });
  }
}

function growers(): string[] {
  return phone
    .rowsOf("person")
    .filter(({ body }) => body["role"] === "grower")
    .map(({ id }) => id);
}

/** A block as it is known here: on a joined phone from its own copy, at a desk from the office. */
import { heldIn } from "../../log/held-row";
import { isCrop, layoutOf, seatOf, type Stood } from "../../log/planting-row";
import { lives, type Occupant } from "../../log/positions";
import type { Hold } from "../../log/world";
import type { Answer } from "../../net/office";
import { speech } from "../../parts/speech.svelte";
import { local } from "../../words/local";
import { book } from "../book.svelte";
import type { Row } from "../permits/shapes";
import { names } from "../names.svelte";
import { phone } from "../phone.svelte";
import { labelOf, shortOf } from "../plant/block.svelte";
import { places } from "../rooms/places.svelte";
import { Sheet } from "../sheet.svelte";
import { now } from "../world.svelte";
import { bySeat, heldAt, meantLabels, type Feature } from "./told";
import type { BlockLayout } from "./shapes";

type Body = Readonly<Record<string, unknown>>;

interface Office {
  readonly row: Row<Body> | null;
  readonly features: readonly Feature[];
}

/** Make it while a component begins. */
export class Held {
  readonly id: string;
  readonly sheet: Sheet<Office>;
  readonly row: { readonly id: string; readonly rev: number; readonly body: Body } | null =
    $derived.by(() => (phone.own ? phone.row("layout", this.id) : (this.sheet.data?.row ?? null)));
  readonly layout: BlockLayout | null = $derived.by(
    () => this.row && (layoutOf(this.row) as BlockLayout),
  );
  readonly ready: boolean = $derived.by(() => phone.own !== null || this.sheet.data !== null);
  readonly #told: ReadonlyMap<string, Stood> = $derived.by(() =>
    bySeat(this.id, this.sheet.data?.features ?? []),
  );
  readonly #labels: ReadonlyMap<string, string> = $derived.by(() =>
    meantLabels(this.layout?.meant ?? [], this.sheet.data?.features ?? []),
  );
  /** What holds each position of the crop that is held, by its name: every row is asked once. */
  readonly held: ReadonlyMap<string, readonly Hold[]> = $derived.by(() =>
    phone.own && this.layout
      ? heldIn(now.world, this.layout, this.stood)
      : heldAt(this.sheet.data?.features ?? []),
  );

  constructor(id: string) {
    this.id = id;
    this.sheet = new Sheet<Office>(`block ${id}`, () => fetched(id));
    places.load();
    if (!phone.own) void this.sheet.load();
  }

  readonly stood = (seat: string): Stood | undefined =>
    phone.own ? phone.places.get(seat) : this.#told.get(seat);

  readonly labelOf = (batch: string): string =>
    phone.own ? labelOf(batch) : (this.#labels.get(batch) ?? batch);

  /** `TR4`, as its label bears it. */
  get short(): string {
    const short = phone.own ? shortOf(this.id) : places.seats.get(this.id)?.body["short"];
    return typeof short === "string" && short !== "" ? short : names.of("place", this.id);
  }

  /** Whoever was put last into the positions of the crop. */
  get standing(): readonly Occupant[] {
    return (this.layout?.rows ?? [])
      .filter(isCrop)
      .flatMap((row) => Object.values(this.stood(seatOf(this.id, row))?.positions ?? {}));
  }

  /** The day on which the first plant of the crop was put here. */
  get planted(): string | null {
    const days = this.standing.map(({ at }) =>
      at.length > 10 ? local(at, speech.house.zone).day : at,
    );
    return days.sort()[0] ?? null;
  }

  get alive(): number {
    return this.standing.filter(lives).length;
  }

  async again(): Promise<void> {
    if (phone.own) await phone.sync();
    else await this.sheet.load();
  }
}

async function fetched(id: string): Promise<Answer<Office>> {
  const rows = await book.ask<{ items: readonly Row<Body>[] }>("/rows/layout");
  if (!rows.ok) return rows;
  const row = rows.data.items.find((one) => one.id === id) ?? null;
  if (row === null) return { ok: true, data: { row, features: [] } };
  const path = `/blocks/${encodeURIComponent(id)}/positions.geojson`;
  const told = await book.ask<{ features: readonly Feature[] }>(path);
  return told.ok ? { ok: true, data: { row, features: told.data.features } } : told;
}

import { Seats, type Seat } from "../../log/seats";
import type { Answer } from "../../net/office";
import { book } from "../book.svelte";
import { phone } from "../phone.svelte";
import { Sheet } from "../sheet.svelte";

export interface PlaceRow extends Seat {
  readonly rev: number;
}

/** The places of the nursery: on a joined phone from its own copy, at the office from the office. */
class Places {
  readonly #sheet = new Sheet<readonly PlaceRow[]>("places", fetched);
  readonly rows = $derived<readonly PlaceRow[]>(
    phone.own ? phone.rowsOf("place") : (this.#sheet.data ?? []),
  );
  /** Whether the places are known: before that nothing is written over them. */
  readonly ready = $derived(phone.own !== null || this.#sheet.data !== null);
  readonly seats = $derived(new Seats(this.rows));
  readonly #turns = $derived(new Map(this.seats.walk.map(({ id }, i) => [id, i])));

  load(): void {
    if (!phone.own) void this.#sheet.load();
  }

  /** After a row was written: what the office has now. */
  async again(): Promise<void> {
    if (phone.own) await phone.sync();
    else await this.#sheet.load();
  }

  readonly roomOf = (place: string): string => this.seats.room(place);
  /** Its turn on the way through all places; those that nobody described come last. */
  readonly turnOf = (place: string): number => this.#turns.get(place) ?? this.#turns.size;
}

async function fetched(): Promise<Answer<readonly PlaceRow[]>> {
  const answer = await book.ask<{ items: readonly PlaceRow[] }>("/rows/place");
  return answer.ok ? { ok: true, data: answer.data.items } : answer;
}

export const places = new Places();

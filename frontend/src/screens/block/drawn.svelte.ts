/** An outline while it is drawn: what is taken, moved, removed, and what it still lacks. */
import { placeOf } from "./drawing";
import { Whereabouts } from "./fix.svelte";
import {
  fixed,
  halfway,
  LEAST_CORNERS,
  polygonOf,
  replaced,
  without,
  type Corner,
  type Outline,
} from "./outline";

/** Make it while a component begins; `fields` are those of its draft. */
export class Drawn {
  readonly where = new Whereabouts();
  /** Which corner is chosen. */
  chosen = $state<number | null>(null);
  /** The corner that was removed last, and where it stood. */
  gone = $state.raw<{ readonly at: number; readonly corner: Corner } | null>(null);
  /** What `made` lacked. */
  wrong = $state<"few" | "no_place" | "place" | null>(null);
  readonly #fields: Outline;

  constructor(fields: Outline) {
    this.#fields = fields;
  }

  #become(corners: readonly Corner[], chosen: number | null = null): void {
    this.#fields.corners = corners;
    [this.chosen, this.gone, this.wrong] = [chosen, null, null];
  }

  /** Take the corner where somebody stands: a new one, or that one anew. */
  take(index: number | null): void {
    this.where.ask(({ place, off }) => {
      const { corners, at } = this.#fields;
      const origin = placeOf(at);
      const one = fixed(origin, place, off);
      if (origin === null) this.#fields.at = place.join(" ");
      this.#become(index === null ? [...corners, one] : replaced(corners, index, one));
    });
  }

  /** The plane was tapped: the chosen corner goes there, else a new one. */
  readonly tap = (at: Corner): void => {
    const { corners } = this.#fields;
    this.#become(this.chosen === null ? [...corners, at] : replaced(corners, this.chosen, at));
  };

  /** A new corner that is moved from there. */
  add(at: Corner): void {
    const { corners } = this.#fields;
    this.#become([...corners, at], corners.length);
  }

  move(index: number, at: Corner): void {
    this.#become(replaced(this.#fields.corners, index, at), index);
  }

  more(index: number): void {
    this.#become(halfway(this.#fields.corners, index), index + 1);
  }

  remove(at: number): void {
    const corner = this.#fields.corners[at];
    if (!corner) return;
    this.#become(without(this.#fields.corners, at));
    this.gone = { at, corner };
  }

  back(): void {
    if (!this.gone) return;
    const { at, corner } = this.gone;
    const { corners } = this.#fields;
    this.#become([...corners.slice(0, at), corner, ...corners.slice(at)]);
  }

  anew(): void {
    this.#fields.at = "";
    this.#become([]);
  }

  /** The outline as GeoJSON; null where something lacks, which `wrong` then says. */
  made(): string | null {
    const { at, corners } = this.#fields;
    const origin = placeOf(at);
    this.wrong =
      corners.length < LEAST_CORNERS
        ? "few"
        : at.trim() === ""
          ? "no_place"
          : origin === null
            ? "place"
            : null;
    if (this.wrong !== null || origin === null) return null;
    return JSON.stringify(polygonOf(origin, corners));
  }
}

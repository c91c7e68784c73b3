import type { Instant } from "../log/entry";
import type { Verdict } from "../log/gate";
import { World } from "../log/world";
import { phone } from "./phone.svelte";
import { tree } from "./room/seats.svelte";
import { untrained } from "./untrained";

/** Often enough that nobody sees a shut door as open, or an open one as shut, for long. */
const TICK_MS = 15_000;

/** What this phone knows to stand against work, as of now: it follows every record and the clock. */
class Now {
  /** The instant by the office's clock; null where this phone cannot know it. */
  at = $state.raw<Instant | null>(phone.now());
  readonly world = $derived(
    new World({
      now: this.at,
      seats: tree.all,
      // Plain ones: each question to a reactive map is a signal of its own, and there are thousands.
      batches: new Map(phone.batches),
      places: new Map(phone.places),
      told: phone.outlook,
    }),
  );

  constructor() {
    setInterval(() => {
      this.tick();
    }, TICK_MS);
  }

  readonly tick = (): void => {
    this.at = phone.now();
  };

  /** May whoever writes do this now? `person` is another who would. */
  mayI(act: string, subject: string, person = phone.writer?.person ?? null): Verdict {
    const told = this.world.mayI(act, subject, person);
    if (act !== "entering" || told.answer === "no") return told;
    return untrained(subject, person).find(({ stops }) => stops)?.verdict ?? told;
  }

  /** May whoever writes plant this batch in this row or block now? */
  mayPlant(batch: string, ground: string): Verdict {
    return this.world.mayPlant(batch, ground, phone.writer?.person ?? null);
  }
}

export const now = new Now();

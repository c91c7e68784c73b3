/** The three clocks of a batch, as three lines: what is not known is left out. */
import { missedWeeks, type Spell, type Weeks } from "../../log/weeks";
import type { BatchView } from "../../net/views";
import type { Span } from "../../parts/bed";
import { local } from "../../words/local";

export interface Three {
  /** The day of the release, decided or forecast; null where nobody can tell. */
  readonly release: string | null;
  readonly decided: string | null;
  /** It stands under conditions, and is not released. */
  readonly waits: boolean;
  /** The first day on which it may be planted. */
  readonly plant: string | null;
  /** The planting weeks that this day lies in. */
  readonly weeks: Spell | null;
  /** Planting weeks that the release comes too late for. */
  readonly missed: readonly Spell[];
}

const NEVER = { on: null, first: "", last: "" } as const;
/** Nothing is planted any more. */
const OVER = new Set(["planted", "closed"]);

export function threeOf(
  batch: BatchView,
  planting: readonly Weeks[],
  today: string,
  zone: string,
): Three {
  const clock = batch.outlook?.clock ?? null;
  const decided = batch.released ? local(batch.released.at, zone).day : null;
  const waits = decided === null && (clock !== null || batch.opened_on !== null);
  const release = decided ?? clock?.earliest ?? null;
  const grows = !batch.closed && !OVER.has(batch.stage ?? "");
  // As the season sheet has it: the law, the sun, the growth and the weeks decide together.
  const { on, first, last } = (grows ? batch.outlook?.plant : null) ?? NEVER;
  return {
    release,
    decided,
    waits,
    plant: on,
    weeks: on === null ? null : { first, last },
    missed: grows && waits && release !== null ? missedWeeks(planting, today, release) : [],
  };
}

export const spanOf = ({ first: from, last: to }: Spell): Span => ({ from, to });

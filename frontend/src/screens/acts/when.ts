/** When it happened, where that is not now: a day and an hour that a person says. */
import type { Instant } from "../../log/entry";
import { later } from "../../log/days";
import { hourOf } from "../../parts/hour";
import { instantAt } from "../day";

export type DayChoice = "now" | "today" | "yesterday" | "other";

export interface When {
  day: DayChoice;
  /** The other day, as it is put together; null as long as it is none. */
  on: string | null;
  /** Figures of the hour. */
  hour: string;
}

export const NOW: When = { day: "now", on: null, hour: "" };

/** The day that is meant, or null as long as none is. */
export function dayOf({ day, on }: Pick<When, "day" | "on">, today: string): string | null {
  if (day === "other") return on;
  return day === "yesterday" ? later(today, -1) : today;
}

/** The instant that was said; `now` where it is being done, null as long as something is missing. */
export function momentOf(when: When, today: string, zone: string): Instant | "now" | null {
  if (when.day === "now") return "now";
  const [day, hour] = [dayOf(when, today), hourOf(when.hour)];
  return day === null || hour === null ? null : instantAt(day, hour, zone);
}

/** For a record: the moment stands in it only where a person typed it. */
export function stamped(moment: Instant | "now" | null): { occurredAt?: Instant } {
  return moment === "now" || moment === null ? {} : { occurredAt: moment };
}

/** Acts that are planned for a day, as the records about a place tell them. */
import type { Entry } from "./entry";
import { standing } from "./timeline";

/** What may be planned from the phone, and the kind of record by which it is seen to be done. */
export const PLANNED = [
  { act: "treatment", sign: "treat", done: "treated" },
  { act: "watering", sign: "water", done: "watered" },
  { act: "inspection", sign: "look-over", done: "inspected" },
  { act: "arrival", sign: "trays", done: "arrived" },
] as const;
export type Plannable = (typeof PLANNED)[number]["act"];

export interface Planned {
  readonly act: string;
  /** People who are booked for it; 0 where nobody said. */
  readonly people: number;
  /** A record of that day says that it was done. */
  readonly done: boolean;
}

interface Booked {
  readonly act: string;
  readonly on: string;
  readonly people?: number | null;
}

/** What is planned for a day, each act once, in the order in which it was planned. */
export function plannedOn(
  entries: Iterable<Entry>,
  day: string,
  dayOf: (instant: string) => string,
): Planned[] {
  const facts = standing(entries).entries;
  const on = new Set(
    facts
      .filter(({ occurredAt }) => dayOf(occurredAt) === day)
      .map((entry) => (entry.kind === "other" ? entry.named : entry.kind)),
  );
  const found = new Map<string, Planned>();
  for (const entry of facts) {
    if (entry.kind !== "other" || entry.named !== "booked" || entry.unread) continue;
    const { act, on: planned, people } = entry.body as unknown as Booked;
    if (planned !== day) continue;
    const kind = PLANNED.find((one) => one.act === act)?.done;
    found.set(act, { act, people: people ?? 0, done: kind !== undefined && on.has(kind) });
  }
  return [...found.values()];
}

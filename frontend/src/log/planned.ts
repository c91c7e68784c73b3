/** Acts that are planned for a day, as the records about a place tell them. */
import type { Entry } from "./entry";
import { standing } from "./timeline";
import type { Draft } from "./write";

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
  readonly proposed?: boolean;
  readonly plants?: number | null;
  readonly plan?: string | null;
}

/** An act that a plan proposes: nobody has decided it yet. */
export interface Proposal {
  readonly entry: Entry;
  readonly act: string;
  readonly on: string;
  /** Plants it is about; 0 where nobody said. */
  readonly plants: number;
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
    const { act, on: planned, people, proposed } = entry.body as unknown as Booked;
    if (planned !== day || proposed === true) continue;
    const kind = PLANNED.find((one) => one.act === act)?.done;
    found.set(act, { act, people: people ?? 0, done: kind !== undefined && on.has(kind) });
  }
  return [...found.values()];
}

/** What is proposed from a day on and nobody has taken, soonest first. */
export function proposedFrom(entries: Iterable<Entry>, day: string): Proposal[] {
  const booked = standing(entries).entries.filter(
    (entry) => entry.kind === "other" && entry.named === "booked" && !entry.unread,
  );
  const taken = new Set(
    booked
      .map((entry) => entry.body as unknown as Booked)
      .filter(({ proposed }) => proposed !== true)
      .map(({ act, on, plan }) => `${act} ${on} ${plan ?? ""}`),
  );
  return booked
    .flatMap((entry) => {
      const { act, on, proposed, plants, plan } = entry.body as unknown as Booked;
      const open = proposed === true && on >= day && !taken.has(`${act} ${on} ${plan ?? ""}`);
      return open ? [{ entry, act, on, plants: plants ?? 0 }] : [];
    })
    .sort((a, b) => (a.on < b.on ? -1 : Number(a.on > b.on)));
}

/** The record by which a grower takes what was proposed: the same act, now planned. */
export function takenOf({ entry }: Proposal): Draft {
  const body = Object.fromEntries(
    Object.entries(entry.body as object).filter(([name]) => name !== "proposed"),
  );
  return { kind: "booked", about: entry.about, body };
}

/** The record by which a grower drops it. */
export function droppedOf({ entry }: Proposal): Draft {
  const about = entry.about;
  return { kind: "withdrawn", about, body: { saw: entry.id }, corrects: entry.id };
}

/** The report of an incident as it stands in its form, and the record that it makes. */
import { later } from "../../log/days";
import type { Instant } from "../../log/entry";
import type { Breach } from "../../log/room";
import type { Draft } from "../../log/write";
import { hourOf } from "../../parts/hour";
import { local } from "../../words/local";
import { instantAt } from "../day";

const DAY_MS = 86_400_000;

export interface Reporting {
  reference: string;
  people: string[];
  weather: string;
  /** Figures of two hours, between which no instrument read. */
  gap: { from?: string; until?: string };
  moved: string;
  traps: number;
}

export const NO_REPORT: Reporting = {
  ...{ reference: "", people: [], weather: "", gap: {}, moved: "", traps: 0 },
};

export interface Gap {
  readonly from: Instant;
  readonly until: Instant;
}

/**
 * When nothing was read, by two hours: the first is looked for from when the room was last seen
 * whole, and where nobody knows that, in the day before the tear was found.
 */
export function gapOf({ gap }: Reporting, { lastGoodAt, at }: Breach, zone: string): Gap | null {
  const [first, second] = [hourOf(gap.from ?? ""), hourOf(gap.until ?? "")];
  if (first === null || second === null) return null;
  const since = lastGoodAt ?? new Date(Date.parse(at) - DAY_MS).toISOString();
  const from = next(first, since, zone);
  return { from, until: next(second, from, zone) };
}

/** When the clocks show an hour for the first time from an instant on. */
function next(hour: string, since: string, zone: string): Instant {
  const { day } = local(since, zone);
  const found = instantAt(day, hour, zone);
  return found < since ? instantAt(later(day, 1), hour, zone) : found;
}

/** Whether an hour is half typed, or one of the two is missing. */
export function isHalf({ gap }: Reporting): boolean {
  const typed = [gap.from ?? "", gap.until ?? ""];
  return typed.some(Boolean) && typed.some((one) => hourOf(one) === null);
}

/** What is empty is left out. */
export function draftOf(form: Reporting, room: string, breach: Breach, gap: Gap | null): Draft {
  const words = { reference: form.reference, weather: form.weather, moved: form.moved };
  const told = Object.entries(words)
    .map(([field, text]) => [field, text.trim()] as const)
    .filter(([, text]) => text !== "");
  const body = {
    incident: breach.line,
    ...(Object.fromEntries(told) as Readonly<Record<string, string>>),
    ...(form.people.length > 0 ? { people: [...form.people] } : {}),
    ...(gap === null ? {} : { gap_from: gap.from, gap_until: gap.until }),
    ...(form.traps > 0 ? { extra_traps: form.traps } : {}),
  };
  return { kind: "described", about: [room], body };
}

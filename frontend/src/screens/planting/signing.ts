/** What the grower signs for a planting day: about the plants, for that day, with a reason. */
import type { Draft } from "../../log/write";
import { phone } from "../phone.svelte";
import type { DayAfield } from "./days.svelte";

export const LONGEST_REASON = 200;

/** Only a grower signs, and only by PIN. */
export function maySign(): boolean {
  return phone.role === "grower" && phone.writer?.confirmed === true;
}

export function signature(day: DayAfield, reason: string, more: object): Draft {
  const { on } = day.now;
  const body = { act: "planting", on, reason, ...more };
  return { kind: "signed", about: day.told.batches, body };
}

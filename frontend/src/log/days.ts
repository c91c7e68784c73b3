/** Days as the calendar has them, whatever the zone: ISO texts. */
import { instantOf, msOf } from "./instant";

const DAY_MS = 86_400_000;

/** The day so many days later; earlier where the number is below zero. */
export function later(day: string, days: number): string {
  return instantOf(msOf(`${day}T00:00:00.000Z`) + days * DAY_MS).slice(0, 10);
}

/** Days from one day to another; below zero where the other lies before. */
export function apart(from: string, to: string): number {
  return (msOf(`${to}T00:00:00.000Z`) - msOf(`${from}T00:00:00.000Z`)) / DAY_MS;
}

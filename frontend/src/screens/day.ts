import type { Instant } from "../log/entry";
import { local } from "../words/local";

/**
 * The instant at which the clocks of a zone show an hour of a day. Of an hour that comes twice it is
 * the one after the change; one that the clocks leap over is as much later as they leap.
 */
export function instantAt(day: string, hour: string, zone: string): Instant {
  const wanted = Date.parse(`${day}T${hour}:00.000Z`);
  let at = wanted;
  // The second step mends what a change of the clock between both puts off.
  for (let step = 0; step < 2; step += 1) {
    const shown = local(new Date(at).toISOString(), zone);
    at -= Date.parse(`${shown.day}T${shown.hour}:00.000Z`) - wanted;
  }
  return new Date(at).toISOString() as Instant;
}

/** The instant at which a day begins in a zone, to the minute. */
export function startOf(day: string, zone: string): Instant {
  return instantAt(day, "00:00", zone);
}

/** The instant at which it ends: the last millisecond of it. */
export function endOf(day: string, zone: string): Instant {
  const next = new Date(Date.parse(`${day}T00:00:00.000Z`) + 36 * 3600_000).toISOString();
  return new Date(Date.parse(startOf(next.slice(0, 10), zone)) - 1).toISOString() as Instant;
}

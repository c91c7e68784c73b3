/** Days and hours of a nursery, by its zone (IANA name). */
import { once } from "./once";

/** A time in which the clocks of a zone were not put forward or back; all in milliseconds. */
export interface Stretch {
  readonly zone: string;
  readonly from: number;
  readonly until: number;
  /** Local time less universal time. */
  readonly offset: number;
}

const AROUND_MS = 12 * 3_600_000;
let known: Stretch | null = null;

/** The local day (ISO) and hour of an instant in a zone. */
export function local(instant: string, zone: string): { day: string; hour: string } {
  const at = Date.parse(instant);
  const near = known?.zone === zone && at >= known.from && at <= known.until ? known : null;
  return near ? told(at + near.offset) : read(at, zone);
}

/** Reckon with what an earlier start found: to ask the browser for a zone takes a slow phone long. */
export function reckon(stretch: Stretch | null): void {
  known = stretch;
}

/** The half day before and after an instant; null where the clocks are changed within it. */
export function stretchAround(at: number, zone: string): Stretch | null {
  const [from, until] = [at - AROUND_MS, at + AROUND_MS];
  const [offset, ...others] = [at, from, until].map((one) => offsetAt(one, zone));
  if (offset === undefined || others.some((one) => one !== offset)) return null;
  return { zone, from, until, offset };
}

function offsetAt(at: number, zone: string): number {
  const { day, hour } = read(at, zone);
  return Date.parse(`${day}T${hour}Z`) - Math.floor(at / 60_000) * 60_000;
}

/** A universal time in figures. */
function told(at: number): { day: string; hour: string } {
  const text = new Date(at).toISOString();
  return { day: text.slice(0, 10), hour: text.slice(11, 16) };
}

function read(at: number, zone: string): { day: string; hour: string } {
  const found = new Map(
    readers(zone)
      .formatToParts(at)
      .map(({ type, value }) => [type, value]),
  );
  const part = (type: Intl.DateTimeFormatPartTypes): string => found.get(type) ?? "";
  return {
    day: `${part("year").padStart(4, "0")}-${part("month")}-${part("day")}`,
    hour: `${part("hour")}:${part("minute")}`,
  };
}

const readers = once(
  (timeZone) =>
    new Intl.DateTimeFormat("en-GB", {
      timeZone,
      hourCycle: "h23",
      year: "numeric",
      month: "2-digit",
      day: "2-digit",
      hour: "2-digit",
      minute: "2-digit",
    }),
);

/** What the charts of a season hold: one axis for all, the bed of an item, the fan of a measure. */
import type { Bed, BedPart, Span } from "../../parts/bed";
import type { Note, Series, Stretch } from "../../parts/chart";
import { dayAfter } from "./odds";
import type { Item, Readiness, SetWeeks } from "./shapes";

const BEFORE = 30;
const LEAST = 270;
const MOST = 540;

/** One axis for odds, bed and readiness: from the month before today to behind the planting weeks. */
export function axisOf(item: Item, today: string): Span {
  const measured = item.readiness.measured.map(({ on }) => on);
  const back = [dayAfter(today, -BEFORE), ...measured].filter(
    (day) => day >= dayAfter(today, -LEAST),
  );
  const ahead = [item.weeks?.last, item.plant_on, item.readiness.late, item.pots_full_on]
    .filter((day) => typeof day === "string")
    .map((day) => dayAfter(day, BEFORE));
  const to = [dayAfter(today, LEAST), ...ahead].reduce(later);
  return {
    from: `${back.reduce(earlier).slice(0, 7)}-01`,
    to: earlier(to, dayAfter(today, MOST)),
  };
}

/** The bed from what is known: quarantine until release, growing, toughening, the planting weeks. */
export function bedOf(item: Item, weeks: readonly SetWeeks[], span: Span, today: string): Bed {
  const { clock, free_on: free, plant_on: plant } = item;
  const parts: BedPart[] = [];
  const add = (what: BedPart["what"], start: string, end: string): void => {
    if (start < end) parts.push({ what, start, end });
  };
  const shut = clock !== null && !clock.released;
  const start = later(item.began_on ?? today, span.from);
  const out = shut ? (clock.earliest ?? today) : start;
  // What happened before the axis begins has no place on it.
  const within = (day: string | null | undefined): string | null =>
    day && day >= span.from ? day : null;
  if (shut) add("quarantine", start, out);
  if (plant !== null) {
    const planned = later(dayAfter(plant, -(item.toughening_days ?? 0)), free ?? out);
    const harden = item.toughening_since ?? planned;
    add("grow", out, earlier(harden, plant));
    add("toughen", later(harden, out), plant);
    add("field", plant, item.weeks?.last ?? dayAfter(plant, 1));
  } else add("grow", out, later(today, out));
  return {
    parts,
    release: within(clock?.earliest),
    today,
    weeks: item.weeks && { from: item.weeks.first, to: item.weeks.last },
    missed: missed(item, weeks, today).map(({ first, last }) => ({ from: first, to: last })),
    full: within(item.pots_full_on),
  };
}

/** Weeks set by hand that are over before this item can be planted. */
export function missed(item: Item, weeks: readonly SetWeeks[], today: string): SetWeeks[] {
  const until = item.plant_on ?? item.free_on;
  if (until === null) return [];
  return weeks.filter(({ first, last }) => last >= today && last < until && first > today);
}

/** The weeks set by hand over the chart; lost ones are boarded up. */
export function stretchesOf(
  item: Item,
  weeks: readonly SetWeeks[],
  today: string,
  span: Span,
  says: (one: SetWeeks, what: "lost" | "plant" | "later") => string,
): Stretch[] {
  const lost = new Set(missed(item, weeks, today));
  return weeks
    .filter(({ first, last }) => last >= today && first < span.to && last > span.from)
    .map((one) => {
      const mine = one.first === item.weeks?.first && one.last === item.weeks.last;
      const what = lost.has(one) ? "lost" : mine ? "plant" : "later";
      return {
        from: later(one.first, span.from),
        to: earlier(one.last, span.to),
        says: says(one, what),
        lost: what === "lost",
      };
    });
}

/** The measures of which there is a figure, the one that is forecast first. */
export function measuresOf({ fan, measured, minimum }: Readiness): string[] {
  const all = [
    ...Object.keys(fan),
    ...Object.keys(minimum),
    ...measured.flatMap(({ means }) => Object.keys(means)),
  ];
  return [...new Set(all)].filter(
    (one) => one in fan || measured.some(({ means }) => one in means),
  );
}

/** What was measured, and the fan of what is to come. */
export function fanOf(
  readiness: Readiness,
  measure: string,
  names: Readonly<Record<"measured" | "middle" | "low" | "high", string>>,
): Series[] {
  const fan = readiness.fan[measure] ?? [];
  const ahead = (of: "low" | "middle" | "high", stroke: "heavy" | "fine" | "dashed"): Series => ({
    draw: "line",
    name: names[of],
    stroke,
    points: fan.map((one) => ({ x: one.on, y: one[of] })),
  });
  const measured = readiness.measured.flatMap(({ on, means }) => {
    const mean = means[measure];
    return mean === undefined ? [] : [{ x: on, y: mean }];
  });
  return [
    { draw: "points", name: names.measured, points: measured },
    ...(fan.length === 0
      ? []
      : [ahead("middle", "heavy"), ahead("high", "fine"), ahead("low", "dashed")]),
  ];
}

/** Rings on the smallest size: when enough plants have it, and by when at the latest. */
export function ringsOf(
  readiness: Readiness,
  measure: string,
  span: Span,
  says: (what: "day" | "late", on: string) => string,
): Note[] {
  const least = readiness.minimum[measure];
  if (least === undefined || readiness.state !== "forecast") return [];
  return (["day", "late"] as const).flatMap((what) => {
    const on = readiness[what];
    if (on === null || on < span.from || on > span.to) return [];
    return [{ x: on, y: least, says: says(what, on), below: true }];
  });
}

function earlier(a: string, b: string): string {
  return a < b ? a : b;
}

function later(a: string, b: string): string {
  return a > b ? a : b;
}

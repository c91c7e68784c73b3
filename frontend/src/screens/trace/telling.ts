/** A trace in lines: sums first, positions of a row told as stretches, batch by batch. */
import type { Key } from "../../words/catalogue";
import { calledBy } from "../held/words";
import type { Hold, Plant, Stood, Trace } from "./shapes";

/** What a trace began with, as the last part of an address, and back. */
export const written = (starts: readonly string[]): string =>
  starts.map((one) => encodeURIComponent(one)).join(",");

export const startsOf = (text: string): string[] =>
  text
    .split(",")
    .filter((one) => one !== "")
    .map((one) => decodeURIComponent(one));

/** The question to the office. */
export const asked = (starts: readonly string[]): string =>
  starts.map((one) => `of=${encodeURIComponent(one)}`).join("&");

/** Positions as stretches: 1 2 3 7 is 1–3, 7. What has a letter stands by itself. */
export function stretches(positions: readonly string[]): string[] {
  const found: string[][] = [];
  for (const one of positions) {
    const last = found.at(-1);
    if (last && Number(one) === Number(last.at(-1)) + 1) last.push(one);
    else found.push([one]);
  }
  return found.map((some) =>
    some.length > 1 ? `${some[0] ?? ""}–${some.at(-1) ?? ""}` : (some[0] ?? ""),
  );
}

const GONE = new Set(["dead", "missing", "rootstock_only"]);
export const lives = ({ state }: Plant): boolean => !GONE.has(state);

export interface OfBatch {
  readonly batch: string;
  readonly positions: readonly string[];
  readonly alive: number;
  readonly gone: readonly Plant[];
}

/** The plants of one block, batch by batch in the order of the trace. */
export function byBatch({ plants }: Stood, batches: readonly string[]): OfBatch[] {
  return batches.flatMap((batch) => {
    const mine = plants.filter((one) => one.batch === batch);
    if (mine.length === 0) return [];
    const gone = mine.filter((one) => !lives(one));
    const positions = mine.map(({ position }) => position);
    return [{ batch, positions, alive: mine.length - gone.length, gone }];
  });
}

export const everyBatch = ({ asked: of, made }: Trace): string[] => [...of, ...made];

type Figure = readonly [key: Key, figure: number];

/** The figures that are asked for first, the largest question first. */
export function figures({ sums }: Trace): Figure[] {
  return [
    ["trace.positions", sums.positions],
    ["trace.alive", sums.alive],
    ["trace.gone", sums.gone],
    ["trace.reserve", sums.reserve],
    ["trace.sent", sums.sent],
  ];
}

/** The batches that a hold may be put on and that no order holds yet. */
export function unheld(trace: Trace): string[] {
  const standing = new Set(trace.field.flatMap(({ plants }) => plants.map(({ batch }) => batch)));
  return everyBatch(trace).filter(
    (batch) =>
      (standing.has(batch) || (trace.reserve[batch] ?? 0) > 0) &&
      !(trace.held[batch] ?? []).some(isOrder),
  );
}

/** A find or a breach that no order has taken up yet is nobody's order. */
function isOrder({ by, orders }: Hold): boolean {
  return orders.length > 0 || !["find", "breach"].includes(by);
}

export interface OnHold extends Hold {
  readonly ordered: boolean;
  readonly batches: readonly string[];
  readonly positions: number;
  readonly call: Trace["calls"][number] | null;
}

/** Each order, find or breach that holds something traced: what it holds, and who asked for it. */
export function holdsOf(trace: Trace): OnHold[] {
  const every = everyBatch(trace).flatMap((batch) =>
    (trace.held[batch] ?? []).map((hold) => ({ ...hold, ...calledBy(hold), batch })),
  );
  const plants = trace.field.flatMap((stood) => stood.plants);
  return [...new Set(every.map(({ reference }) => reference))].flatMap((reference) => {
    const mine = every.filter((one) => one.reference === reference);
    const first = mine.find(({ by }) => by === "order") ?? mine[0];
    const batches = [...new Set(mine.map(({ batch }) => batch))];
    return first === undefined
      ? []
      : {
          ...first,
          since: mine.map(({ since }) => since).sort()[0] ?? "",
          paper: mine.every(({ paper }) => paper),
          ordered: mine.some(isOrder),
          batches,
          positions: plants.filter(({ batch }) => batches.includes(batch)).length,
          call: trace.calls.find((call) => call.reference === reference) ?? null,
        };
  });
}

/** So many seconds as minutes and seconds. */
export function spent(seconds: number): { readonly minutes: number; readonly rest: string } {
  return { minutes: Math.floor(seconds / 60), rest: String(seconds % 60).padStart(2, "0") };
}

/** Plants that go out to be planted, break on the way or come back: what is typed, and its records. */
import type { Entry } from "../../log/entry";
import type { Draft } from "../../log/write";

export const WAYS = ["out", "back", "broken"] as const;
export type Way = (typeof WAYS)[number];

export interface Carrying {
  /** Figures typed, by batch. */
  readonly figures: Readonly<Record<string, string>>;
}

export const BROKEN = "broken_in_transit";

/** The plants of each batch that are told, in their order; a batch without any tells nothing. */
export function plantsOf(
  { figures }: Carrying,
  batches: readonly string[],
  usual: ReadonlyMap<string, number>,
): { readonly batch: string; readonly plants: number }[] {
  return batches.flatMap((batch) => {
    const typed = figures[batch] ?? "";
    const plants = typed === "" ? (usual.get(batch) ?? 0) : Number(typed);
    return plants > 0 ? [{ batch, plants }] : [];
  });
}

export function draftsOf(
  way: Way,
  block: string,
  some: readonly { readonly batch: string; readonly plants: number }[],
): Draft[] {
  return some.map(({ batch, plants }) =>
    way === "broken"
      ? {
          kind: "lost",
          about: [batch],
          body: { count: plants, fate: "culled", cause: BROKEN, carried: true },
        }
      : { kind: "carried", about: [batch, block], body: { way, plants, block } },
  );
}

/** How many plants of each batch went out to a block, by the records about it. */
export function outTo(block: string, entries: readonly Entry[]): ReadonlyMap<string, number> {
  const found = new Map<string, number>();
  for (const { kind, about, body } of entries) {
    if (kind !== "carried" || body.block !== block || body.way !== "out") continue;
    const batch = about.find((one) => one !== block) ?? "";
    found.set(batch, (found.get(batch) ?? 0) + body.plants);
  }
  return found;
}

/** Of which batches more come back or are broken than are out. */
export function tooMany(
  way: Way,
  some: readonly { readonly batch: string; readonly plants: number }[],
  out: (batch: string) => number,
): readonly string[] {
  if (way === "out") return [];
  return some.filter(({ batch, plants }) => plants > out(batch)).map(({ batch }) => batch);
}

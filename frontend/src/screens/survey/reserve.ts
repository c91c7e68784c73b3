/** Plants that wait for the gaps of a block: of its crop, living, in no field. */
import type { LayoutOf } from "../../log/planting-row";
import type { KeptBatch } from "../../shelf/folding";
import { cropOf } from "../crops";
import { phone } from "../phone.svelte";
import { labelOf } from "../plant/block.svelte";
import { now } from "../world.svelte";

export interface Reserve {
  readonly id: string;
  readonly kept: KeptBatch;
  readonly plants: number;
  /** Nothing stands against planting it now. */
  readonly free: boolean;
}

export function reserveOf({ crop, meant = [] }: LayoutOf): readonly Reserve[] {
  const wanted = new Set(crop ? [crop] : meant.map(({ batch }) => cropOf(batch)));
  return [...phone.batches.values()]
    .filter(({ id, closed, alive }) => !closed && (alive ?? 0) > 0 && wanted.has(cropOf(id)))
    .map((kept) => {
      const free = now.mayI("planting", kept.id).answer === "yes";
      return { id: kept.id, kept, plants: kept.alive ?? 0, free };
    })
    .sort((a, b) => Number(b.free) - Number(a.free) || byLabel(a.id, b.id));
}

function byLabel(a: string, b: string): number {
  return labelOf(a) < labelOf(b) ? -1 : 1;
}

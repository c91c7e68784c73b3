/** What a phone knows of its batches and places, as things that can be scanned. */
import { formerLabels, type Former } from "../../log/former";
import { history } from "../../log/history";
import { shapeOf } from "../../parts/look";
import { placeShape, type Choice } from "../../scan/choice";
import { rawsOf } from "../batch/sight.svelte";
import { names } from "../names.svelte";
import { phone } from "../phone.svelte";

/** The living batches of this phone. */
export function batchChoices(): Choice[] {
  return [...phone.batches.values()]
    .filter(({ closed, label }) => !closed && label !== null)
    .map((batch) => {
      const { id, label, crop, place } = batch;
      const more = [
        ...(crop === null ? [] : [names.of("crop", crop)]),
        ...(place === null ? [] : [names.of("place", place)]),
      ];
      return {
        ...{ id, label: label ?? id, kind: "batch" as const, shape: shapeOf(batch) },
        more: more.join(" · "),
        ...(batch.old_labels.length > 0 ? { former: batch.old_labels } : {}),
      };
    });
}

/** When a batch bore its old labels, from the records that this phone has of it. */
export async function pastOf(id: string): Promise<Former[]> {
  return formerLabels(history(rawsOf(await phone.about(id))));
}

/** Every place of the nursery, by the short name that its label bears. */
export function placeChoices(): Choice[] {
  return phone.rowsOf("place").map(({ id, body }) => {
    const { name, short, kind } = body as { name?: string; short?: string; kind?: string };
    return {
      ...{ id, label: short ?? name ?? id, kind: "place" as const, shape: placeShape(kind) },
      ...(short !== undefined && name !== undefined ? { more: name } : {}),
    };
  });
}

/** What is done before the inner door: the nursery's own list, else what is usual. */
import { speech } from "../../parts/speech.svelte";
import { names } from "../names.svelte";
import { phone } from "../phone.svelte";

export interface Step {
  readonly id: string;
  readonly says: string;
  readonly sign: string;
}

/** A checklist of this name is the nursery's own routine. */
const LIST = "hygiene";
// Hands, boots and a clean garment: entry hygiene of screen houses (trade practice, common).
const USUAL = ["hands", "boots", "clothes"] as const;
const SIGNS: Readonly<Record<string, string>> = {
  ...{ hands: "hands", boots: "boots", clothes: "clothes", phone: "wipe" },
};

export function routine(): Step[] {
  const items = phone.row("checklist", LIST)?.body["items"] as { id: string }[] | undefined;
  if (!items) {
    return USUAL.map((id) => ({
      id,
      says: speech.say(`hygiene.${id}`),
      sign: SIGNS[id] ?? "wipe",
    }));
  }
  return items.map(({ id }) => ({
    id,
    says: names.of("item", `${LIST}/${id}`),
    sign: SIGNS[id] ?? "wipe",
  }));
}

/** Names that a field of a rule may state and that the app has words for: offered, never demanded. */
import { MEASURES } from "../../log/air";
import type { Row } from "./shapes";

const OFFERED: Readonly<Record<string, readonly string[]>> = {
  acts: ["moving", "moving_inside", "potting", "pruning", "taking", "sending", "planting"],
  fates: ["died", "culled", "sampled", "destroyed"],
  what: MEASURES.map(({ what }) => what),
  whom: ["authority", "grower"],
};

/** What is offered for a field, with what stands there already. */
export function offered(
  field: string,
  pests: readonly Row[],
  chosen: readonly string[] = [],
): string[] {
  const known =
    field === "pest" || field === "pests" ? pests.map(({ id }) => id) : (OFFERED[field] ?? []);
  return [...new Set([...known, ...chosen.filter((one) => one !== "")])];
}

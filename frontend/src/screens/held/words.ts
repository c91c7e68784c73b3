/** What holds positions, in words, and what each hold forbids there. */
import type { Hold as Told } from "../../log/world";
import { holdsInWords, isId } from "../../parts/holds";
import { speech } from "../../parts/speech.svelte";

type Hold = Pick<Told, "by" | "reference" | "orders" | "since">;

/** The order that stands in an incident's place, else what the hold itself is called. */
export function calledBy({ by, reference, orders }: Hold): { by: string; reference: string } {
  const [order] = orders;
  return order === undefined ? { by, reference } : { by: "order", reference: order };
}

/** `order Q-09 and a find nearby`. */
export function byWhat(holds: readonly Hold[]): string {
  const outlook = { held: holds.map(calledBy) };
  return holdsInWords({ holds: {}, finds: [], outlook, released: null, closed: false });
}

/** Every hold of several positions, each told once, the oldest first. */
export function together<H extends Hold>(some: Iterable<readonly H[]>): readonly H[] {
  const found = new Map<string, H>();
  for (const hold of [...some].flat()) {
    const { reference } = calledBy(hold);
    // An order that holds plants and their ground is one order, and about the ground it says more.
    if (!found.has(reference) || isGround(hold)) found.set(reference, hold);
  }
  return [...found.values()].sort((a, b) => (a.since < b.since ? -1 : 1));
}

function isGround({ by }: Hold): boolean {
  return by === "place_order" || by === "ground_order";
}

/** What ends a hold. */
export function endOf(hold: Hold): string {
  const { by, reference } = calledBy(hold);
  if (by === "breach") return speech.say("reason.when_decided");
  return by === "find" || isId(reference)
    ? speech.say("reason.when_lifted_here")
    : speech.say("reason.when_lifted", { reference });
}

/** What may not be done, as words of the catalogue: in held ground nothing is planted either. */
export function forbidden(holds: readonly Hold[]) {
  return [
    ...(["held.no_cutting", "held.no_lifting", "held.no_sending"] as const),
    ...(holds.some(isGround) ? (["held.no_planting"] as const) : []),
    "held.no_felling",
  ] as const;
}

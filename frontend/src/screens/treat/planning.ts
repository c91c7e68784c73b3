/** An act that is planned for a day. */
import type { Plannable } from "../../log/planned";
import { verdict, type Verdict } from "../../log/gate";
import { acceptsFrom, type Rest } from "../../log/rest";
import type { Draft } from "../../log/write";

/** With which product a treatment is planned, and who is to apply it; empty where nobody said. */
export interface Hands {
  readonly product: string;
  readonly operator: string;
}

const NOBODY: Hands = { product: "", operator: "" };

export function plannedOf(
  act: Plannable,
  on: string,
  order: string | null,
  people: number,
  about: readonly string[],
  hands: Hands = NOBODY,
): Draft {
  const body = {
    ...{ act, on },
    ...(people > 0 ? { people } : {}),
    ...(order === null ? {} : { order }),
    ...(hands.product === "" ? {} : { product: hands.product }),
    ...(hands.operator === "" ? {} : { operator: hands.operator }),
  };
  return { kind: "booked", about, body };
}

/** What speaks against new plants in a room on a day: it must have lain empty and clean so long. */
export function tooFull(
  rest: Rest,
  hours: number | null,
  on: string,
  dayOf: (instant: string) => string,
): { verdict: Verdict; from: string | null } | null {
  if (hours === null) return null;
  const opens = acceptsFrom(rest, hours);
  if (opens === null) return { verdict: verdict("no", "not_empty_and_clean"), from: null };
  const from = dayOf(opens);
  if (on >= from) return null;
  const when = { code: "when_room_rested", params: { from: opens } };
  return { verdict: verdict("wait", "room_rests", { hours }, when, opens), from };
}

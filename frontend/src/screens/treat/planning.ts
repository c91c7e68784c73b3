/** A treatment that is planned for a day. */
import type { Draft } from "../../log/write";

export function plannedOf(
  on: string,
  order: string | null,
  people: number,
  about: readonly string[],
): Draft {
  const body = {
    ...{ act: "treatment", on },
    ...(people > 0 ? { people } : {}),
    ...(order === null ? {} : { order }),
  };
  return { kind: "booked", about, body };
}

/** How waste was destroyed, as it stands in a form and in its record. */
import { readNumber } from "../../words/forms";

export const METHODS = ["burned", "buried", "autoclaved"] as const;

export interface Disposal {
  kg: string;
  method: string;
  witness: string;
}

export const NO_DISPOSAL: Disposal = { kg: "", method: "", witness: "" };

/** The longest name that a record takes. */
const MOST = 64;

export function disposalOf({ kg, method, witness }: Disposal) {
  const weight = readNumber(kg);
  return {
    method,
    ...(typeof weight === "number" ? { kg: weight } : {}),
    ...(witness === "" ? {} : { witness: witness.slice(0, MOST) }),
  };
}

/** What keeps it from being saved: no method, or a weight that can be read in two ways. */
export function isReady({ kg, method }: Disposal): boolean {
  return method !== "" && (kg === "" || typeof readNumber(kg) === "number");
}

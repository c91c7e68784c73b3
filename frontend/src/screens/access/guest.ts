/** Who goes in or out: the one who writes, another of the people, a visitor by name and firm. */
import type { Visitor } from "../../log/bodies";
import type { Inside } from "../../log/place";
import { visitorName } from "../../log/visits";
import { names } from "../names.svelte";

export type Guest =
  | { readonly kind: "me" }
  | { readonly kind: "person"; readonly person: string }
  | { readonly kind: "visitor"; readonly visitor: Visitor };

export const ME: Guest = { kind: "me" };

export function called(guest: Guest, me: string): string {
  if (guest.kind === "visitor") return visitorName(guest.visitor);
  return names.of("person", guest.kind === "me" ? me : guest.person);
}

/** The part of a body that says who; the writer is not named twice. */
export function body(guest: Guest): Readonly<Record<string, unknown>> {
  if (guest.kind === "person") return { person: guest.person };
  return guest.kind === "visitor" ? { visitor: guest.visitor } : {};
}

/** A person's id; null of a visitor. */
export function personOf(guest: Guest, me: string): string | null {
  if (guest.kind === "visitor") return null;
  return guest.kind === "me" ? me : guest.person;
}

export function isInside(guest: Guest, me: string, inside: readonly Inside[]): boolean {
  const visitor = guest.kind === "visitor";
  const who = visitor ? visitorName(guest.visitor) : guest.kind === "me" ? me : guest.person;
  return inside.some((one) => one.who === who && one.visitor === visitor);
}

/** Who somebody inside is, to be written out again; a visitor's firm stands behind the comma. */
export function guestOf({ who, visitor }: Inside, me: string): Guest {
  if (!visitor) return who === me ? ME : { kind: "person", person: who };
  const comma = who.indexOf(", ");
  if (comma < 0) return { kind: "visitor", visitor: { name: who } };
  return {
    kind: "visitor",
    visitor: { name: who.slice(0, comma), firm: who.slice(comma + 2) },
  };
}

import { phone } from "../phone.svelte";

/** The shape of a person's tile. */
export function shapeOf(person: string): string {
  const tile = phone.row("person", person)?.body["tile"] as { shape?: unknown } | null | undefined;
  return typeof tile?.shape === "string" ? tile.shape : "diamond";
}

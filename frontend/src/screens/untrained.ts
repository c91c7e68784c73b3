import { lacking, wantedBy, type Lack, type Worker } from "../log/qualified";
import { book } from "./book.svelte";
import { phone } from "./phone.svelte";
import { tree } from "./room/seats.svelte";

/** Which trainings of a place somebody lacks today; nothing is known of a visitor (rule O-5). */
export function untrained(place: string, person: string | null): readonly Lack[] {
  const row = phone.rowsOf("person").find(({ id }) => id === person);
  if (!row || typeof row.body["erased"] === "string") return [];
  const wanted = wantedBy(tree.all.outward(place).map((one) => tree.all.get(one)));
  return lacking(row as unknown as Worker, wanted, book.today);
}

import { buzz } from "../../parts/buzz";
import { phone } from "../phone.svelte";
import type { Saving } from "../room/saving.svelte";

/**
 * Start the hold: a find that nobody knows is on the disk when this returns. Null where it is not.
 *
 * No tap takes it back: a mis-tap is the grower's to lift.
 */
export async function begin(subject: string, saving: Saving): Promise<string | null> {
  const draft = { kind: "found", about: [subject], body: { suspicion: true } };
  if (!(await saving.act("", draft))) return null;
  const find = phone.last?.rows[0]?.id ?? null;
  phone.last = null;
  buzz();
  return find;
}

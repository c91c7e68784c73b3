import { roundOf, type RoomRound, type Turn, type Walk } from "../../log/round";
import { trapsOf, type TrapTurn } from "../../log/traps";
import type { Instant } from "../../log/entry";
import { speech } from "../../parts/speech.svelte";
import { book } from "../book.svelte";
import { endOf, startOf } from "../day";
import { phone } from "../phone.svelte";
import { tree } from "../room/seats.svelte";
import { now } from "../world.svelte";

/** Today's round and traps, as this phone knows them now. */
class Rounds {
  readonly walk = $derived.by((): Walk => {
    const at = now.at ?? (book.now() as Instant);
    const { zone, today } = speech.house;
    const day = today ?? book.today;
    return {
      now: at,
      from: startOf(day, zone),
      until: endOf(day, zone),
      seats: tree.all,
      checks: phone.checks,
      isHeld: (batch) => now.world.isHeld(batch),
    };
  });
  readonly rooms: readonly RoomRound[] = $derived(
    roundOf(phone.batches.values(), phone.places, this.walk),
  );
  readonly traps: readonly TrapTurn[] = $derived(trapsOf(phone.places, book.today, this.walk));

  /** The room in which the round goes on. */
  get next(): RoomRound | null {
    return this.rooms.find(({ next }) => next !== null) ?? null;
  }

  turn(subject: string): Turn | null {
    for (const { turns, others } of this.rooms) {
      const found = [...turns, ...others].find(({ id }) => id === subject);
      if (found) return found;
    }
    return null;
  }

  /** Fewer minutes for a tray than this are shown as quick; null where the nursery has no floor. */
  get floor(): number | null {
    const own = phone.own && phone.row("nursery", phone.own.nursery.id);
    const floor = own?.body["quick_minutes"];
    return typeof floor === "number" ? floor : null;
  }
}

export const rounds = new Rounds();

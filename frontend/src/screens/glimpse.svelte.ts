/**
 * What the first sheet told when the app was last seen, so that a cold start shows it at once.
 *
 * It is kept where it is read without waiting, and stands until the disk is read: some tenths of a
 * second on a slow phone. Nothing is written by it: every sheet but the first waits for the disk.
 */
import { choose, chosen } from "../shelf/settings";
import type { KeptClock, Own } from "../shelf/row";
import type { CopyRow } from "../shelf/copy";
import { APP } from "../sync/app";
import { clock } from "../sync/clock";
import type { Ping } from "../net/views";
import { speech } from "../parts/speech.svelte";
import type { House } from "../words/forms";
import { reckon, stretchAround, type Stretch } from "../words/local";
import { book } from "./book.svelte";
import { handed } from "./handed.svelte";
import { shownLines, type ShownLine } from "./home/lines";
import { phone } from "./phone.svelte";
import { keptWriter } from "./writer";

interface Kept {
  /** The build that kept it: another may keep it otherwise. */
  readonly app: string;
  /** Who wrote then: the lines are theirs. */
  readonly person: string;
  readonly own: Own;
  readonly clock: KeptClock;
  readonly ping: Ping | null;
  readonly house: Pick<House, "zone" | "mark">;
  /** Null where the clocks are changed about now. */
  readonly stretch: Stretch | null;
  /** Of the reference data, what the head of each sheet names. */
  readonly rows: readonly CopyRow[];
  readonly lines: readonly Pick<ShownLine, "sheet" | "figure">[];
  readonly heardAt: string | null;
  readonly unsent: { readonly count: number; readonly oldest: string | null };
  readonly unsentPhotos: { readonly count: number; readonly bytes: number };
}

class Glimpse {
  /** The lines of the first sheet until the disk is read; null from then on. */
  lines = $state.raw<Kept["lines"] | null>(null);
  #read = false;

  /** Show what was kept, where it is of whoever writes now. False where there is nothing. */
  take(): boolean {
    const kept = found();
    const writer = keptWriter(Date.now());
    if (!kept || kept.person !== writer?.person || handed.consignment !== null) return false;
    const { own, rows, heardAt, unsent, unsentPhotos } = kept;
    clock.guess(kept.clock);
    Object.assign(phone, { own, writer, rows, heardAt, unsent, unsentPhotos });
    book.ping = kept.ping;
    reckon(kept.stretch);
    book.house(kept.house.zone, kept.house.mark);
    this.lines = kept.lines;
    return true;
  }

  /** The disk is read: from now on it is what is shown, and kept whenever nobody looks. */
  over(): void {
    this.lines = null;
    this.#read = true;
    this.#keep();
    document.addEventListener("visibilitychange", this.#keep);
    addEventListener("pagehide", this.#keep);
  }

  readonly #keep = (): void => {
    const { own, writer, heardAt, unsent, unsentPhotos } = phone;
    if (!this.#read || phone.fault) return;
    if (!own || !writer) {
      choose("glimpse", "");
      return;
    }
    const { house } = speech;
    const named = [phone.row("person", writer.person), phone.row("nursery", own.nursery.id)];
    const kept: Kept = {
      ...{ app: APP, person: writer.person, own, heardAt, unsent, unsentPhotos },
      ...{ clock: clock.kept, ping: book.ping, house },
      stretch: stretchAround(clock.ms(), house.zone),
      rows: named.filter((row) => row !== null).map(withoutPin),
      lines: shownLines().map(({ sheet, figure }) => ({ sheet, figure })),
    };
    choose("glimpse", JSON.stringify(kept));
  };
}

/** Nobody's PIN is asked for on the first sheet, so nothing of it lies where this is kept. */
function withoutPin({ body, ...row }: CopyRow): CopyRow {
  const told = Object.entries(body).filter(([field]) => !field.startsWith("pin_"));
  return { ...row, body: Object.fromEntries(told) };
}

function found(): Kept | null {
  try {
    const kept = JSON.parse(chosen("glimpse") ?? "") as Kept;
    return kept.app === APP ? kept : null;
  } catch {
    return null;
  }
}

export const glimpse = new Glimpse();

/** What the screens show of the copy in use: states by subject, reference data, the outlook. */
import { SvelteMap } from "svelte/reactivity";
import { isClosedThere } from "../log/elsewhere";
import { withPlanted } from "../log/planting-row";
import type { Check, Outlook } from "../net/outlook";
import { Copy, type CopyLine, type CopyRow, type Folded } from "../shelf/copy";
import type { Everything } from "../shelf/everything";
import { forecast } from "../shelf/forecast";
import { refold, takeInOwn, type KeptBatch, type KeptPlace } from "../shelf/folding";
import { ShelfFault, type Fault } from "../shelf/handle";
import { Outbox } from "../shelf/outbox";
import type { CopyName, Own } from "../shelf/row";
import type { Planted } from "./undo";

// So many states are shown at once: a finger on the screen never waits for all of them.
const AT_ONCE = 60;
/** To show more than a few is work of its own: what was asked of the page meanwhile is done before. */
const FEW = 5;

interface Early {
  readonly copy: Copy;
  readonly all: Promise<Everything | null>;
  readonly subject: string | null;
  readonly about: Promise<readonly CopyLine[] | null> | null;
}

export class Shown {
  readonly outbox = new Outbox();
  copy = new Copy("copy-a");
  readonly batches = new SvelteMap<string, KeptBatch>();
  readonly places = new SvelteMap<string, KeptPlace>();
  rows = $state.raw<readonly CopyRow[]>([]);
  outlook = $state.raw<Outlook | null>(null);
  outlookAt = $state<string | null>(null);
  heardAt = $state<string | null>(null);
  /** Why this phone can keep or read nothing now. What is on the screen stays as it is. */
  fault = $state<Fault | null>(null);
  /** The last line of the feed that the screens rest on. */
  seq: number | null = null;
  /** What was asked of the disk before it was known which copy is in use, and may still hold. */
  #early: Early | null = null;
  /** Of each batch that lives by this phone's own records, their last line of the feed. */
  readonly #upTo: Record<string, number | null> = {};
  readonly #index = $derived(
    Object.fromEntries(this.rows.map((row) => [`${row.type} ${row.id}`, row])),
  );

  /** Rows of one type of reference data. */
  rowsOf(type: string): readonly CopyRow[] {
    return this.rows.filter((row) => row.type === type);
  }

  row(type: string, id: string): CopyRow | null {
    return this.#index[`${type} ${id}`] ?? null;
  }

  get checks(): readonly Check[] {
    return this.outlook?.checks ?? [];
  }

  /** Every record about a subject, this phone's own included. */
  async about(subject: string): Promise<readonly CopyLine[]> {
    const early = this.#early?.subject === subject ? this.#early.about : null;
    this.#early = null;
    return (await early) ?? this.read(() => this.copy.about(subject), []);
  }

  /** Begin to read what a cold start will show, the records about one subject with it. */
  readEarly(name: CopyName, subject: string | null): void {
    const copy = new Copy(name);
    const all = copy.all().catch(() => null);
    const about = subject === null ? null : copy.about(subject).catch(() => null);
    this.#early = { copy, all, subject, about };
  }

  /** Records that a person wrote, of the time between two instants, both included. */
  async mine(person: string, from: string, until: string): Promise<readonly CopyLine[]> {
    return this.read(() => this.copy.by(person, from, until), []);
  }

  /** What the copy says; where it cannot be read, nothing: a form opens all the same. */
  protected async read<T>(work: () => Promise<T>, nothing: T): Promise<T> {
    try {
      return await work();
    } catch (trouble) {
      if (!(trouble instanceof ShelfFault)) throw trouble;
      this.told(trouble.fault);
      return nothing;
    }
  }

  /** Why nothing can be read or kept now. */
  protected told(fault: Fault): void {
    this.fault = fault;
  }

  /** Go over to a copy and show all that it holds. A copy that is broken begins anew. */
  protected async showAll({ copy: name, n }: Own): Promise<void> {
    const early = this.#early?.copy.name === name ? this.#early : null;
    this.copy = early?.copy ?? new Copy(name);
    try {
      const found = await early?.all;
      this.#all(found && isWhole(found, n) ? found : await this.#whole(n));
    } catch (trouble) {
      if (!(trouble instanceof ShelfFault) || trouble.fault !== "broken") throw trouble;
      await this.copy.destroy();
      this.#all(await this.#whole(n));
    }
  }

  /** All that the copy holds, once it has what this phone wrote up to a number, and is folded. */
  async #whole(n: number): Promise<Everything> {
    this.#early = null;
    const found = await this.copy.all();
    if (isWhole(found, n)) return found;
    await takeInOwn(this.copy, this.outbox);
    // A page that was killed among quick taps left their batches for later.
    if ((await this.copy.stale()).length > 0) await refold(this.copy);
    return this.copy.all();
  }

  /** What this phone wrote just now, or what it wrote last before it was killed. */
  protected async takeIn(later: readonly string[] = []): Promise<readonly string[]> {
    this.#early = null;
    const subjects = await takeInOwn(this.copy, this.outbox, later);
    await this.showStates(subjects);
    return subjects;
  }

  protected async showStates(subjects: readonly string[]): Promise<void> {
    this.#early = null;
    for (let start = 0; start < subjects.length; start += AT_ONCE) {
      const states = await this.copy.states(subjects.slice(start, start + AT_ONCE));
      if (states.length > FEW) await turn();
      this.#show(states);
    }
  }

  /** So many more of a batch were planted, as it is until its fold says so. */
  protected showPlanted({ batch, plants }: Planted): void {
    const kept = this.batches.get(batch);
    if (kept) this.batches.set(batch, withPlanted(kept, plants));
  }

  /** What is no state of a subject; rows and the outlook, which are large, only where they changed. */
  protected async showRest(rows = true, outlook = true): Promise<void> {
    const { copy } = this;
    // At the start nothing is shown that could stand still.
    const calmly = this.outlookAt !== null;
    const [all, cursor, kept, heard] = await Promise.all([
      rows ? copy.rows() : null,
      copy.cursor(),
      outlook ? forecast(copy, calmly) : undefined,
      copy.told<string>("heard"),
    ]);
    if (all) this.rows = all;
    this.seq = cursor?.seq ?? null;
    if (kept !== undefined && kept?.at !== this.outlookAt) {
      if (calmly) await turn();
      this.outlook = (kept?.body ?? null) as Outlook | null;
      this.outlookAt = kept?.at ?? null;
      await this.#lookAgain();
    }
    this.heardAt = heard;
  }

  #all({ rows, states, cursor, outlook, heard }: Everything): void {
    this.rows = rows;
    this.seq = cursor?.seq ?? null;
    this.outlook = (outlook?.body ?? null) as Outlook | null;
    this.outlookAt = outlook?.at ?? null;
    this.heardAt = heard ?? null;
    const known = Object.fromEntries(states.map(({ id }) => [id, true]));
    for (const map of [this.batches, this.places]) {
      for (const id of map.keys()) if (!known[id]) map.delete(id);
    }
    this.#show(states);
  }

  /** A batch that the office closed is closed, though this phone lacks the records of its end. */
  #asThere(id: string, batch: KeptBatch): KeptBatch {
    const closed = batch.closed || isClosedThere(id, this.#upTo[id] ?? null, this.outlook);
    return closed === batch.closed ? batch : { ...batch, closed };
  }

  /** The office told anew what lives: read those of which it says otherwise than is shown. */
  async #lookAgain(): Promise<void> {
    const otherwise = [...this.batches.values()].filter(
      ({ id, closed }) => closed !== isClosedThere(id, this.#upTo[id] ?? null, this.outlook),
    );
    await this.showStates(otherwise.map(({ id }) => id));
  }

  #show(states: readonly Folded[]): void {
    for (const { id, what, state, upTo = null } of states) {
      // An arrival that was taken back leaves no batch behind.
      if (what === "batch") {
        this.places.delete(id);
        this.#upTo[id] = upTo;
        this.batches.set(id, this.#asThere(id, state as KeptBatch));
      } else {
        this.batches.delete(id);
        this.places.set(id, state as KeptPlace);
      }
    }
  }
}

/** What waits for the page's thread gets its turn. */
function turn(): Promise<void> {
  return new Promise((done) => setTimeout(done));
}

/** Whether a copy has all that this phone wrote up to a number, folded by those who grow now. */
function isWhole({ own = 0, stale, growers = [], rows }: Everything, n: number): boolean {
  if (stale > 0 || own < n) return false;
  const now = rows.filter(({ type, body }) => type === "person" && body["role"] === "grower");
  return growers.length === now.length && now.every(({ id }) => growers.includes(id));
}

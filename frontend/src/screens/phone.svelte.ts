/**
 * What this phone knows and writes by itself: the one store that the worker's screens read.
 *
 * Reading never waits for the network; writing returns once the record is on the disk.
 */
import type { Instant } from "../log/entry";
import type { Draft } from "../log/write";
import { Wire } from "../net/sync";
import { Copy } from "../shelf/copy";
import { forgetDrafts } from "../shelf/drafts";
import { ShelfFault, type Fault } from "../shelf/handle";
import { forget } from "../shelf/kept";
import type { OutboxRow, Own } from "../shelf/outbox";
import { Photos } from "../shelf/photos";
import { APP } from "../sync/app";
import { clock } from "../sync/clock";
import { hub, type Changed, type News } from "../sync/hub";
import { browserHere, mustInstall, newInstall } from "../sync/install";
import type { Standing } from "../sync/pace";
import { exported, mayWipe, NotExported } from "../sync/rescue";
import { Later } from "../sync/later";
import { Runner } from "../sync/runner";
import { composed, penOf } from "../sync/writing";
import { book } from "./book.svelte";
import { Shown } from "./shown.svelte";
import { takingBack, type Last, type Planted } from "./undo";
import { update } from "./update.svelte";
import { forgetWriter, keepWriter, keptWriter, type Writer } from "./writer";

class Phone extends Shown {
  /** Null until this phone has joined a nursery. */
  own = $state.raw<Own | null>(null);
  writer = $state.raw<Writer | null>(null);
  standing = $state<Standing>("calm");
  unsent = $state.raw<{ count: number; oldest: string | null }>({ count: 0, oldest: null });
  /** Pictures that records name and that the office does not have. */
  unsentPhotos = $state.raw<{ count: number; bytes: number }>({ count: 0, bytes: 0 });
  savedAt = $state<string | null>(null);
  last = $state.raw<Last | null>(null);
  syncing = $state(false);

  readonly photos = new Photos(this.outbox);
  readonly #hub = hub();
  readonly #runner = new Runner(this.#hub);
  readonly #later = new Later(() => void this.#runner.fold());
  #news: Promise<void> = Promise.resolve();

  /** What is on the disk; where the first screen is `seen` already, its queue last. Never throws. */
  async open(seen = false): Promise<void> {
    this.#hub.on((news) => {
      this.#news = this.#news.then(() => this.#try(() => this.#hear(news)));
    });
    const begun = await this.read(() => this.outbox.begun(), { own: null, clock: null });
    clock.load(begun.clock);
    const { own } = begun;
    this.own = own;
    this.writer = own && keptWriter(Date.now());
    if (own) await this.#try(() => this.#read(own, seen));
  }

  /** Join a nursery by a one-time code; anew in the same nursery, it goes on with its numbers. */
  async join(code: string): Promise<void> {
    const before = this.own;
    const install = before?.install ?? newInstall();
    const joined = await new Wire(APP).enrol(code, install);
    const same = !before || before.nursery.id === joined.nursery.id;
    if (!same) await this.copy.begin("another nursery");
    this.own = await this.outbox.know({
      ...joined,
      install: same ? install : newInstall(),
      // A book that was restored meanwhile is met, not taken for the one before.
      epoch: before && same ? before.epoch : joined.epoch,
    });
    this.#hub.tell({ t: "joined" });
    this.#runner.watch();
    await this.sync();
  }

  /** Begin to send and fetch on open, focus, `online` and every half minute. */
  watch(): void {
    document.addEventListener("visibilitychange", () => {
      clock.rested();
    });
    if (this.own) this.#runner.watch();
  }

  /** Somebody begins to write; the one before can be undone by nobody else. */
  begin(person: string, confirmed: boolean): void {
    this.writer = { person, confirmed };
    this.last = null;
    this.touch();
  }

  /** Nobody writes any more: the phone goes from hand to hand. Nothing that was saved changes. */
  rest(): void {
    this.writer = null;
    this.last = null;
    forgetWriter();
  }

  /** Nobody touched the phone for a while. */
  restIfLeft(): void {
    if (this.writer && keptWriter(Date.now()) === null) this.rest();
  }

  /** Somebody is at the phone: the time after which it asks again who writes begins anew. */
  touch(): void {
    if (this.writer) keepWriter(this.writer, Date.now());
  }

  /** One round with the office, by a person's wish. */
  async sync(): Promise<void> {
    if (!this.own) return;
    await this.#runner.once();
    await this.#news;
  }

  /**
   * Save records: on the disk when this returns, whatever the signal.
   *
   * @throws ShelfFault where the phone can keep nothing; the form must stay as it is then.
   */
  async write(...drafts: readonly Draft[]): Promise<readonly OutboxRow[]> {
    return this.#write(drafts, []);
  }

  /** The states of `later` are folded once the taps rest. */
  async #write(drafts: readonly Draft[], later: readonly string[]): Promise<readonly OutboxRow[]> {
    const { own, writer } = this;
    if (!own || !writer) throw new Error("Nobody writes on this phone yet.");
    // At once, while the browser knows that it was a tap.
    if (own.persisted === null) void this.#try(() => this.#askToKeep(own));
    const made = penOf(own, writer, clock, this.seq);
    // Where the office's own clock was moved, for a demo, the phone's is not off by that.
    const pen = book.ping?.shifted ? { ...made, skewMs: null } : made;
    const records = composed(drafts, pen);
    const rows = await this.photos.making(() => this.outbox.save(pen.now, records, clock.kept));
    this.fault = null;
    // It is safe by now, whatever the copy does.
    await this.#try(async () => {
      await this.photos.name(rows);
      const subjects = await this.photos.making(() => this.takeIn(later));
      this.#hub.tell({ t: "saved", subjects });
    });
    // Sheets read the copy again at this, so it comes once the copy has the records.
    this.savedAt = pen.now;
    void this.#try(() => this.#queue());
    this.#runner.want("person");
    return rows;
  }

  /** Save what one act on a screen is, and offer to take it back until the next act is saved. */
  async act(says: string, ...drafts: readonly Draft[]): Promise<readonly OutboxRow[]> {
    const rows = await this.write(...drafts);
    this.last = { rows, says };
    return rows;
  }

  /**
   * Save one of many quick taps, which one tap takes back. Its row is folded at once; its batch,
   * with all that came before in it, once the taps rest.
   */
  async tap(says: string, draft: Draft, planted?: Planted): Promise<void> {
    this.last = { rows: await this.#tapped([draft], planted), says, planted };
  }

  async #tapped(drafts: readonly Draft[], planted?: Planted): Promise<readonly OutboxRow[]> {
    if (!planted) return this.write(...drafts);
    return this.#later.during(planted.batch, async () => {
      const rows = await this.#write(drafts, [planted.batch]);
      this.showPlanted(planted);
      return rows;
    });
  }

  /** Take back what was saved last: it stays in the book, and what it corrected stands again. */
  async undo(): Promise<void> {
    if (!this.last) return;
    const { rows, planted } = this.last;
    const drafts = await takingBack(rows, (subject) => this.about(subject));
    await this.#tapped(drafts, planted && { ...planted, plants: -planted.plants });
    this.last = null;
  }

  /** What the writer is here: worker or grower; null where nobody writes. */
  get role(): string | null {
    const role = this.writer && this.row("person", this.writer.person)?.body["role"];
    return typeof role === "string" ? role : null;
  }

  /**
   * The instant by the office's clock; null where this phone cannot know it: it never heard from
   * the office, or its clock was set since. A gate then says "wait" or "cannot tell".
   */
  now(): Instant | null {
    return clock.sure();
  }

  /** Whether this phone may throw away what it keeps, and has too much of it to risk that. */
  get mustInstall(): boolean {
    return mustInstall(browserHere(), this.unsent.count);
  }

  /**
   * Everything that no tested backup holds, as the file that the office takes in for a phone that
   * cannot send any more. `elsewhere`: instead, what was written for a nursery that it left.
   */
  async exportFile(elsewhere = false): Promise<Blob> {
    if (!this.own) throw new Error("This phone belongs to no nursery.");
    return exported(this.outbox, this.own, clock.now(), elsewhere);
  }

  /** Whether nothing would be lost with this phone: all is in a tested backup, or in a file. */
  async mayWipe(): Promise<boolean> {
    return (await mayWipe(this.outbox)) && (await this.photos.mayGo());
  }

  /**
   * Throw away everything that this phone keeps of the nursery.
   *
   * @throws NotExported where something would be lost by it.
   */
  async wipe(): Promise<void> {
    if (!(await this.mayWipe())) throw new NotExported();
    this.rest();
    this.own = null;
    this.#hub.tell({ t: "wiped" });
    const all = [this.outbox, this.photos, new Copy("copy-a"), new Copy("copy-b")];
    await Promise.all([...all.map((one) => one.destroy()), forget(), forgetDrafts()]);
  }

  async #hear(news: News): Promise<void> {
    if (news.t === "joined" || news.t === "wiped") location.reload();
    else if (news.t === "beat" || news.t === "idle") this.syncing = news.t === "beat";
    else if (news.t === "clock") clock.learn(news.offset);
    else if (news.t === "app") update.heard(news.app.current);
    else if (news.t === "changed") await this.#changed(news);
    else if (news.t === "saved") {
      await Promise.all([this.showStates(news.subjects), this.#queue()]);
    } else if (news.t === "round") {
      this.standing = news.standing;
      if (news.standing === "calm") await this.photos.settle();
      await Promise.all([this.showRest(false, false), this.#queue()]);
      // A phone that stays open past midnight is in the next day.
      this.#house();
    }
  }

  async #changed({ copy, subjects, rows, outlook }: Changed): Promise<void> {
    if (subjects === null || copy !== this.copy.name) return this.#read(await this.outbox.own());
    await this.showStates(subjects.filter((one) => !this.#later.has(one)));
    await this.showRest(rows, outlook);
    if (rows) this.#house();
  }

  /** All that the copy in use holds, whichever of the two that is by now. */
  async #read(own: Own | null, seen = false): Promise<void> {
    this.own = own;
    await Promise.all([own && this.showAll(own), seen || this.#queue()]);
    if (seen) void this.#try(() => this.#queue());
    this.#house();
  }

  /** Do something with what is on the disk, and say on the screen where that cannot be done. */
  async #try(work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (trouble) {
      if (!(trouble instanceof ShelfFault)) throw trouble;
      this.told(trouble.fault);
    }
  }

  protected override told(fault: Fault): void {
    super.told(fault);
    this.standing = fault === "full" ? "disk_full" : "shelf";
  }

  /** Ask the browser to throw nothing away. */
  async #askToKeep({ install }: Own): Promise<void> {
    const { storage } = navigator as { storage?: StorageManager };
    const persisted = (await storage?.persist().catch(() => false)) ?? false;
    this.own = await this.outbox.know({ install, persisted });
  }

  #house(): void {
    if (!this.own) return;
    const { id, zone } = this.own.nursery;
    const mark = this.row("nursery", id)?.body["decimal_mark"];
    book.house(zone, mark === "," ? mark : ".");
  }

  async #queue(): Promise<void> {
    const both = [this.outbox.waiting(), this.photos.waiting()] as const;
    [this.unsent, this.unsentPhotos] = await Promise.all(both);
  }
}

export const phone = new Phone();

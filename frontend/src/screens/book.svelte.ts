import { office, type Answer, type Method, type Office, type Trouble } from "../net/office";
import type { NeedsALook, Page, Ping, Who } from "../net/views";
import { choose, speech } from "../parts/speech.svelte";
import { forget, keep, keptAll } from "../shelf/kept";
import { choose as settle, chosen } from "../shelf/settings";
import { clock } from "../sync/clock";
import type { Language } from "../words/catalogue";
import type { House } from "../words/forms";
import { local } from "../words/local";

const API = "/api/v1";

/** What every sheet shares: who asks, what the clock of the office says, when it last spoke. */
class Book {
  who = $state.raw<Who | null>(null);
  ping = $state.raw<Ping | null>(null);
  heardAt = $state<string | null>(null);
  trouble = $state.raw<Trouble | null>(null);
  looks = $state<number | null>(null);
  #office: Office = office("en");

  /** What this phone knows at once: its language. */
  begin(): void {
    const language = choose([chosen("language") ?? "", ...navigator.languages]);
    this.#office = office(language);
    speech.begin(language);
  }

  /** What it kept of the office's answers. */
  async open(): Promise<void> {
    const [before, heard, who] = await keptAll<[{ ping: Ping; offset: number }, string, Who]>(
      ...(["clock", "heard", "who"] as const),
    );
    if (before) {
      this.ping = before.data.ping;
      clock.load({ offset: before.data.offset, high: 0 });
    }
    this.heardAt = heard?.data ?? null;
    if (who) this.#know(who.data);
  }

  /** Learn the office's clock and whose book this is. */
  async meet(): Promise<void> {
    const told = clock.asks();
    const ping = await this.#office.get<Ping>(`${API}/sync/ping`);
    if (ping.ok) {
      this.ping = ping.data;
      const learned = told(ping.data.server_time);
      if (learned) {
        const { offset } = learned;
        void keep("clock", { at: this.now(), data: { ping: this.ping, offset } });
      }
    }
    const who = await this.ask<Who>("/session");
    if (!who.ok) return;
    this.#know(who.data);
    void keep("who", { at: this.now(), data: who.data });
    await this.count();
  }

  async signIn(email: string, password: string): Promise<Trouble | null> {
    const answer = await this.#office.send<Who>("POST", `${API}/session`, { email, password });
    if (!answer.ok) return answer.trouble;
    const other = this.who !== null && this.who.nursery.id !== answer.data.nursery.id;
    if (other) await forget();
    this.trouble = null;
    await this.meet();
    return null;
  }

  /** Read by a link that the grower made, in this browser, until it ends. */
  async readBy(secret: string): Promise<Trouble | null> {
    const answer = await this.#office.send<Who>("POST", `${API}/reading`, { secret });
    if (!answer.ok) return answer.trouble;
    const other = this.who !== null && this.who.nursery.id !== answer.data.nursery.id;
    if (other) await forget();
    this.trouble = null;
    await this.meet();
    return null;
  }

  /** Who reads by a link has a name and no account, so also no person behind it. */
  get byLink(): boolean {
    return this.who?.role === "inspector" && this.who.person === "";
  }

  /** Signing out, or to stop reading, takes what was kept to read off this phone. */
  async signOut(): Promise<void> {
    if (this.who?.role === "inspector") await this.#office.send("DELETE", `${API}/reading`);
    const answer = await this.#office.send<undefined>("DELETE", `${API}/session`);
    if (!answer.ok && answer.trouble.why !== "signed_out") {
      this.trouble = answer.trouble;
      return;
    }
    await forget();
    this.who = null;
    this.looks = null;
    this.trouble = { why: "signed_out" };
  }

  async speak(language: Language): Promise<void> {
    settle("language", language);
    this.#office = office(language);
    await speech.speak(language);
  }

  /** The phone's clock, corrected by what the office said. */
  now(): string {
    return clock.now();
  }

  get today(): string {
    return local(this.now(), speech.house.zone).day;
  }

  /** To whom the list of what needs a look is open. */
  get isGrower(): boolean {
    return this.who?.role === "grower";
  }

  /** Ask the office; note that it spoke, or why it did not. */
  async ask<T>(path: string, ms?: number): Promise<Answer<T>> {
    const answer = await this.#office.get<T>(`${API}${path}`, ms);
    if (answer.ok) {
      if (this.trouble?.why === "offline") this.trouble = null;
      this.heardAt = this.now();
      void keep("heard", { at: this.heardAt, data: this.heardAt });
    } else if (answer.trouble.why === "offline" || answer.trouble.why === "signed_out") {
      this.trouble = answer.trouble;
    }
    return answer;
  }

  /** Change something at the office, by whoever signed in. */
  async tell<T>(method: Method, path: string, body?: object, ms?: number): Promise<Answer<T>> {
    const answer = await this.#office.send<T>(method, `${API}${path}`, body, ms);
    if (!answer.ok && answer.trouble.why === "signed_out") this.trouble = answer.trouble;
    return answer;
  }

  /** Give the office a file, by whoever signed in. */
  async give<T>(method: Method, path: string, file: Blob, type?: string): Promise<Answer<T>> {
    const answer = await this.#office.give<T>(method, `${API}${path}`, file, type);
    if (!answer.ok && answer.trouble.why === "signed_out") this.trouble = answer.trouble;
    return answer;
  }

  /** A file to print that the office makes. */
  async print(path: string, body: object): Promise<Answer<Blob>> {
    const answer = await this.#office.print(`${API}${path}`, body);
    if (!answer.ok && answer.trouble.why === "signed_out") this.trouble = answer.trouble;
    return answer;
  }

  /** The whole of a list that comes in pages. */
  async askAll<T>(path: string): Promise<Answer<T[]>> {
    const all: T[] = [];
    let next: string | null = path;
    while (next !== null) {
      const answer: Answer<Page<T>> = await this.ask<Page<T>>(next);
      if (!answer.ok) return answer;
      all.push(...answer.data.items);
      const after: string | null = answer.data.next;
      const glue = path.includes("?") ? "&" : "?";
      next = after === null ? null : `${path}${glue}after=${encodeURIComponent(after)}`;
    }
    return { ok: true, data: all };
  }

  /** How many things need a look. Only the grower is told. */
  async count(): Promise<void> {
    if (!this.isGrower) return;
    const looks = await this.ask<NeedsALook>("/needs-a-look");
    if (looks.ok) this.looks = countOf(looks.data);
  }

  /** Days and hours are those of the nursery. */
  house(zone: string, mark: House["mark"] = "."): void {
    const today = local(this.now(), zone).day;
    const { house } = speech;
    if (house.zone === zone && house.mark === mark && house.today === today) return;
    speech.house = { zone, mark, today };
  }

  #know(who: Who): void {
    this.who = who;
    this.house(who.nursery.zone);
  }
}

export function countOf(looks: NeedsALook): number {
  const doubts = looks.doubts.reduce((sum, subject) => sum + subject.doubts.length, 0);
  const { kept_raw, set_aside, phones, photos, notices, papers } = looks;
  const lists = [kept_raw, set_aside, phones, photos, notices, papers];
  return doubts + lists.reduce((sum, list) => sum + list.length, 0);
}

export const book = new Book();

import type { Page } from "../../net/views";
import type { Answer, Trouble } from "../../net/office";
import { speech } from "../../parts/speech.svelte";
import { book } from "../book.svelte";
import { phone } from "../phone.svelte";
import { Sheet } from "../sheet.svelte";
import type { Reminder, Told } from "./shapes";

/** Who is reminded here: whoever writes on this phone, else whoever signed in at the desk. */
export function me(): string {
  return phone.writer?.person ?? book.who?.person ?? "";
}

/** What was told and nobody has said that it was seen. */
export function isUnseen({ state }: Reminder): boolean {
  return state === "sent" || state === "unreached";
}

/** Reminders of one person on a phone, of everybody at the desk; and saying that one saw them. */
export class Reminders {
  readonly sheet: Sheet<readonly Reminder[]>;
  trouble = $state.raw<Trouble | null>(null);
  busy = $state(false);

  constructor() {
    const person = phone.own ? me() : "";
    const path = `/reminders${person ? `?person=${encodeURIComponent(person)}` : ""}`;
    this.sheet = new Sheet(`reminders ${person}`, () => book.askAll<Reminder>(path));
    void this.sheet.load();
  }

  get unseen(): readonly Reminder[] {
    return (this.sheet.data ?? []).filter(isUnseen);
  }

  get coming(): readonly Reminder[] {
    return (this.sheet.data ?? []).filter(({ state }) => state === "waiting");
  }

  async see(some: readonly Reminder[]): Promise<void> {
    this.busy = true;
    const answer = await seen(some.map(({ id }) => id));
    this.busy = false;
    this.trouble = answer.ok ? null : answer.trouble;
    if (answer.ok) await this.sheet.load();
  }
}

export function seen(ids: readonly string[]): Promise<Answer<Page<Reminder>>> {
  return book.tell("POST", "/reminders/seen", { ids, person: me() });
}

/** When it was told last, or when it is to be told. */
export function toldAt({ attempts, due_at: due }: Reminder): string {
  return attempts.at(-1)?.at ?? due;
}

/** A reminder in words; one of a newer office is told by its code. */
export function titleOf({ code, params }: Reminder): string {
  return speech.word(`remind_title.${code}`, params) ?? code;
}

export function textOf({ code, params }: Reminder): string {
  return speech.word(`remind.${code}`, params) ?? "";
}

export function settingsSheet(): Sheet<Told> {
  const sheet = new Sheet("reminders/settings", () => book.ask<Told>("/reminders/settings"));
  void sheet.load();
  return sheet;
}

/** Keep how a person, or the whole nursery (``), is told. */
export function wish(
  person: string,
  wishes: Readonly<Record<string, unknown>>,
): Promise<Answer<Told>> {
  const of = person === "" ? "" : `/${encodeURIComponent(person)}`;
  return book.tell("PUT", `/reminders/settings${of}`, wishes);
}

/**
 * Notices on this phone. They are a nicety: the phone counts down by itself, and a letter follows.
 *
 * A subscription goes without a word (a browser ends it, an office forgets it), so whoever asked for
 * notices is kept here, and asked for again whenever the app is opened.
 */
import type { Trouble } from "../../net/office";
import { choose, chosen } from "../../shelf/settings";
import { book } from "../book.svelte";
import type { PushKey } from "./shapes";

/** Why no notices can be shown here; null where they can. */
export type Hindrance = "none_here" | "blocked" | null;

/** Who wants notices on this phone. */
export function wanted(): readonly string[] {
  const text = chosen("push") ?? "";
  return text === "" ? [] : text.split(" ");
}

function want(people: readonly string[]): void {
  choose("push", [...new Set(people)].join(" "));
}

export function hindrance(): Hindrance {
  const able = "serviceWorker" in navigator && "PushManager" in globalThis;
  if (!able || !("Notification" in globalThis)) return "none_here";
  return Notification.permission === "denied" ? "blocked" : null;
}

export class Pushes {
  hindrance = $state.raw<Hindrance>(hindrance());
  on = $state(false);
  busy = $state(false);
  trouble = $state.raw<Trouble | null>(null);
  readonly #person: string;

  constructor(person: string) {
    this.#person = person;
    this.on = wanted().includes(person) && this.hindrance === null;
  }

  /** Only by a tap: browsers ask a person nothing otherwise. */
  readonly begin = async (): Promise<void> => {
    this.busy = true;
    this.trouble = null;
    await Notification.requestPermission();
    this.hindrance = Notification.permission === "granted" ? null : hindrance();
    if (Notification.permission === "granted") {
      this.trouble = await subscribed([this.#person]);
      this.on = this.trouble === null;
      if (this.on) want([...wanted(), this.#person]);
    }
    this.busy = false;
  };

  readonly end = async (): Promise<void> => {
    this.busy = true;
    const answer = await book.tell("DELETE", "/push/subscription", { person: this.#person });
    this.trouble = answer.ok ? null : answer.trouble;
    if (answer.ok) {
      want(wanted().filter((one) => one !== this.#person));
      this.on = false;
      if (wanted().length === 0) await (await subscription())?.unsubscribe();
    }
    this.busy = false;
  };
}

/** Called as the app opens: whoever wanted notices here has them again. */
export async function renew(): Promise<void> {
  const people = wanted();
  if (people.length === 0 || hindrance() !== null) return;
  if (Notification.permission === "granted") await subscribed(people);
}

/** Have this browser show what these people are told. Said again, it is so again. */
async function subscribed(people: readonly string[]): Promise<Trouble | null> {
  const told = await book.ask<PushKey>("/push");
  if (!told.ok) return told.trouble;
  let made: PushSubscription;
  try {
    made = await subscribe(told.data.key);
  } catch {
    return { why: "trouble", code: "push_refused", detail: null };
  }
  const { endpoint, keys } = made.toJSON();
  for (const person of people) {
    const answer = await book.tell("POST", "/push/subscription", { person, endpoint, keys });
    if (!answer.ok) return answer.trouble;
  }
  return null;
}

/** The subscription by the key that the office has now. */
async function subscribe(key: string): Promise<PushSubscription> {
  const options = { userVisibleOnly: true, applicationServerKey: key };
  const { pushManager } = await navigator.serviceWorker.ready;
  try {
    return await pushManager.subscribe(options);
  } catch {
    // One by another key stands in the way: the office has a new one.
    await (await pushManager.getSubscription())?.unsubscribe();
    return pushManager.subscribe(options);
  }
}

async function subscription(): Promise<PushSubscription | null> {
  return (await navigator.serviceWorker.ready).pushManager.getSubscription();
}

import { coming, type Coming } from "../../log/countdown";
import type { Instant } from "../../log/entry";
import { NOTHING } from "../../log/round";
import { nextWeeks, type Weeks } from "../../log/weeks";
import { speech } from "../../parts/speech.svelte";
import { local } from "../../words/local";
import { book } from "../book.svelte";
import { endOf, startOf } from "../day";
import { names } from "../names.svelte";
import { phone } from "../phone.svelte";
import { tree } from "../room/seats.svelte";
import { to } from "../route.svelte";
import { now } from "../world.svelte";

const NEAR_MS = 36 * 3600_000;
const FAR_DAYS = 60;

/** What comes next by what this phone was shipped; it follows every record and the clock. */
class AheadHere {
  readonly at = $derived(now.at ?? (book.now() as Instant));
  readonly all: readonly Coming[] = $derived(
    coming({
      now: this.at,
      checks: phone.checks,
      roomOf: this.#rooms(),
      latelyOf: (subject) =>
        (phone.batches.get(subject) ?? phone.places.get(subject))?.lately ?? NOTHING,
      dates: [...this.#reentry(), ...this.#permits(), ...this.#weeks()],
    }),
  );

  /** Many checks are about the same few subjects, and asking the live maps is not for nothing. */
  #rooms(): (subject: string) => string {
    const rooms: Record<string, string> = {};
    const found = (subject: string): string => {
      const batch = phone.batches.get(subject);
      const place = batch ? batch.place : subject;
      return place ? tree.all.room(place) : "";
    };
    return (subject) => (rooms[subject] ??= found(subject));
  }

  #reentry(): Omit<Coming, "n">[] {
    return Object.entries(phone.outlook?.places ?? {}).flatMap(([about, told]) => {
      const { reentry_until: at } = told;
      return at === null ? [] : [{ kind: "reentry", about, at: at as Instant }];
    });
  }

  #permits(): Omit<Coming, "n">[] {
    const last = new Date(Date.parse(this.at) + FAR_DAYS * 86_400_000).toISOString();
    return phone.rowsOf("permit").flatMap(({ body }) => {
      const { valid_to: ends, reference } = body;
      if (typeof ends !== "string" || ends > last.slice(0, 10)) return [];
      return [{ kind: "permit", about: String(reference), at: endOf(ends, speech.house.zone) }];
    });
  }

  #weeks(): Omit<Coming, "n">[] {
    const own = phone.own && phone.row("nursery", phone.own.nursery.id);
    const spell = nextWeeks((own?.body["planting"] ?? []) as Weeks[], book.today);
    if (spell === null) return [];
    const begun = spell.first <= book.today;
    const { zone } = speech.house;
    return begun
      ? [{ kind: "weeks_end", about: "", at: endOf(spell.last, zone) }]
      : [{ kind: "weeks", about: "", at: startOf(spell.first, zone) }];
  }
}

export const ahead = new AheadHere();

/** What a thing ahead is called. */
export function called({ kind, about }: Coming): string {
  const { say, word } = speech;
  if (kind === "permit") return say("reminders.permit", { reference: about });
  if (kind === "weeks" || kind === "weeks_end") return say(`reminders.${kind}`);
  const what = kind === "reentry" ? say("reminders.reentry") : (word(`check.${kind}`) ?? kind);
  const said = what.charAt(0).toUpperCase() + what.slice(1);
  return about === "" ? said : say("reminders.at", { what: said, place: names.of("place", about) });
}

/** By when it is to be done, and how long that is. */
export function left({ at, kind }: Coming): string {
  const { say } = speech;
  const ms = Date.parse(at) - Date.parse(ahead.at);
  if (ms < 0) return say("reminders.overdue", { at });
  const from = kind === "reentry" || kind === "weeks";
  if (ms < NEAR_MS) return say(from ? "reminders.from_in" : "reminders.left", { left: ms, at });
  const on = local(at, speech.house.zone).day;
  return say(from ? "reminders.from" : "reminders.by", { on });
}

export function isLate({ at }: Coming): boolean {
  return at < ahead.at;
}

const ROUND = ["look_over", "look_elsewhere"];

/** Where it is done. */
export function whereTo({ kind, about }: Coming): string | null {
  if (ROUND.includes(kind) || kind.startsWith("toughen")) return to("round", about);
  if (kind === "trap" || kind === "replace_trap") return to("traps", about);
  if (kind === "permit" || about === "") return null;
  return to("room", about);
}

const SIGNS: Readonly<Record<string, string>> = {
  ...{
    look_over: "look-over",
    look_elsewhere: "look-over",
    trap: "trap",
    replace_trap: "wet-trap",
  },
  ...{ reentry: "re-entry", permit: "paper", weeks: "weeks", weeks_end: "weeks" },
  ...{ inspection: "sign", treatment: "treat", reading: "measure", test: "lens", result: "lens" },
};

export function signOf(kind: string): string {
  return SIGNS[kind] ?? (kind.startsWith("toughen") ? "harden" : "wait");
}

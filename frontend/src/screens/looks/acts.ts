/** What can be done about each doubt, beside settling it with a reason. */
import type { Key } from "../../words/catalogue";
import { to, toBatch } from "../route.svelte";

export interface Way {
  readonly sign: string;
  readonly says: Key;
  readonly href: string;
  /** Done in the room, on a phone that has joined. */
  readonly onPhone: boolean;
}

const COUNT = ["difference", "disagreement", "below_zero", "more_returned", "count_over_cells"];
const READ = ["contested", "begun_twice", "twice", "subject_changed", "unreadable_body"];

export function waysOf(code: string, subject: string, isBatch: boolean): Way[] {
  if (COUNT.includes(code)) {
    return [way("count", "button.count_again", to("count", subject), true)];
  }
  if (code === "label_twice") {
    return [way("tray", "button.new_label", to("relabel", subject), true)];
  }
  if (code === "no_paper") return [way("photo", "button.take_photo", to("photo", subject), true)];
  if (READ.includes(code) && isBatch) {
    return [way("paper", "batch.all_records", toBatch(subject), false)];
  }
  return [];
}

function way(sign: string, says: Key, href: string, onPhone: boolean): Way {
  return { sign, says, href, onPhone };
}

/** A reason as a tap; `fate` is where the plants of a difference went. */
export interface Reason {
  readonly code: string;
  readonly fate: "died" | "stolen" | null;
  /** The difference is put down to it, plant by plant. */
  readonly accounts: boolean;
}

const DIFFERENCE: readonly Reason[] = [
  { code: "miscounted", fate: null, accounts: true },
  { code: "died", fate: "died", accounts: true },
  { code: "animal", fate: "died", accounts: true },
  { code: "stolen", fate: "stolen", accounts: true },
  { code: "swapped", fate: null, accounts: true },
];
const SUSPICION = ["mistap", "harmless"];
const ANY = ["right", "mistake", "told"];

/** Why plants are missing, as nurseries put it (trade practice, common). */
export function reasonsOf(code: string): readonly Reason[] {
  if (code === "difference") return DIFFERENCE;
  const codes = code === "suspicion" ? SUSPICION : ANY;
  return codes.map((one) => ({ code: one, fate: null, accounts: false }));
}

/** The body of the record that settles a doubt. */
export function settledBody(
  doubt: { readonly id: string; readonly params: Readonly<Record<string, unknown>> },
  reason: Reason | null,
  words: string,
): Readonly<Record<string, unknown>> {
  const plants = doubt.params["plants"];
  const accounted = reason?.accounts === true && typeof plants === "number" ? { plants } : {};
  const fate = reason?.fate && "plants" in accounted && accounted.plants > 0;
  return { doubt: doubt.id, reason: words, ...accounted, ...(fate ? { fate: reason.fate } : {}) };
}

/** What a phone told of itself, as lines that need no other knowledge. */
import type { Key } from "../../words/catalogue";
import type { Params } from "../../words/forms";
import type { PhoneView } from "./staff.svelte";

export interface PhoneFact {
  readonly sign: string;
  readonly says: Key;
  readonly params: Params;
  /** Something to see to. */
  readonly wants: boolean;
}

const FIVE_MINUTES_MS = 300_000;

/** What must be known of a phone, what wants doing first. */
export function factsOf(phone: PhoneView, now: string): readonly PhoneFact[] {
  const facts = [unsent(phone, now), photos(phone), missing(phone), clock(phone), kept(phone)];
  return facts.filter((fact) => fact !== null).sort((a, b) => Number(b.wants) - Number(a.wants));
}

/** Whether the list of phones should point at this one. */
export function wants(phone: PhoneView, now: string): boolean {
  return phone.revoked_at === null && factsOf(phone, now).some((fact) => fact.wants);
}

function unsent({ unsent: n, oldest_unsent_at, silent }: PhoneView, now: string): PhoneFact {
  if (n === 0) return { sign: "yes", says: "phones.all_sent", params: {}, wants: false };
  const sign = "unsent";
  if (oldest_unsent_at === null)
    return { sign, says: "phones.unsent", params: { n }, wants: silent };
  const age = Math.max(0, Math.floor((Date.parse(now) - Date.parse(oldest_unsent_at)) / 60_000));
  return { sign, says: "phones.unsent_since", params: { n, age }, wants: silent };
}

function photos({ photos_unsent: n }: PhoneView): PhoneFact | null {
  if (n === 0) return null;
  return { sign: "photo", says: "phones.photos", params: { n }, wants: false };
}

function missing({ missing: holes }: PhoneView): PhoneFact | null {
  const n = holes.reduce((sum, [from = 0, until = 0]) => sum + until - from + 1, 0);
  if (n === 0) return null;
  return { sign: "cannot-tell", says: "phones.missing", params: { n }, wants: true };
}

function clock({ skew_ms }: PhoneView): PhoneFact | null {
  if (skew_ms === null || Math.abs(skew_ms) <= FIVE_MINUTES_MS) return null;
  const says = skew_ms > 0 ? "phones.clock_ahead" : "phones.clock_behind";
  return { sign: "wait", says, params: { off: skew_ms }, wants: true };
}

function kept({ persisted }: PhoneView): PhoneFact | null {
  if (persisted === null) return null;
  const says = persisted ? "phones.kept" : "phones.not_kept";
  return { sign: persisted ? "yes" : "wait", says, params: {}, wants: !persisted };
}

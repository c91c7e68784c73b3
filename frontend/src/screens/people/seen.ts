/** What the office wrote down of who looked at what, in words. */
import type { components } from "../../net/api";
import type { Key } from "../../words/catalogue";
import type { Params } from "../../words/forms";

type Accessed = components["schemas"]["Accessed"];

const SIGNS: Readonly<Record<string, string>> = {
  ...{ signed_in: "yes", sign_in_failed: "no", signed_out: "back", wrong_pin: "no" },
  ...{ password_changed: "key", session_ended: "no" },
  ...{ link_made: "key", link_opened: "key", link_ended: "no" },
  ...{ phone_invited: "send", phone_joined: "send", phone_shut_out: "no" },
  ...{ person_changed: "who", person_removed: "no", person_erased: "no", taken_away: "paper" },
};

/** Of these stands how many. */
const COUNTED: ReadonlySet<string> = new Set(["wrong_pin", "session_ended"]);

/**
 * What was printed or taken away, by the address at which it was asked for.
 *
 * Addresses are no words, and hold ids of records and lists of plants: what kind of paper it was
 * stands here, and of which consignment or block, where it has a name. Nothing more is asked of a
 * list by which people see who looked at what, so the rest of an address is never shown.
 */
const TAKEN: readonly (readonly [RegExp, Key, "consignment" | "place" | null])[] = [
  [/^consignments\/([^/]+)\/file\.pdf$/, "taken.file", "consignment"],
  [/^consignments\/([^/]+)\/file\.html$/, "taken.signed_file", "consignment"],
  [/^handovers\/([^/]+)\/slip\.pdf$/, "taken.slip", null],
  [/^handovers\//, "taken.handover", null],
  [/^trace/, "taken.trace", null],
  [/^blocks\/([^/]+)\//, "taken.positions", "place"],
  [/^labels/, "taken.labels", null],
  [/^round/, "taken.round", null],
  [/^exports/, "taken.book", null],
  [/^forms\//, "taken.form", null],
];

export type NameOf = (type: "consignment" | "place", id: string) => string;

export function takenSays(of: string, say: Say, nameOf: NameOf): string {
  for (const [form, key, type] of TAKEN) {
    const found = form.exec(of);
    if (!found) continue;
    const text = say(key);
    return type === null ? text : `${text} (${nameOf(type, decodeURIComponent(found[1] ?? ""))})`;
  }
  return say("taken.other");
}

type Say = (key: Key) => string;

/** Whose name stands before it is null where only the role is known. */
export function seenSays(
  { did, role, person, name, of, of_name }: Accessed,
  names: ReadonlyMap<string, string>,
): { sign: string; who: string | null; role: Key; says: Key; params: Params } {
  const known = did in SIGNS;
  const [ident = ""] = of.split(" ");
  const what = of_name ?? names.get(ident) ?? of;
  const n = COUNTED.has(did) ? Number(of) : 1;
  return {
    sign: SIGNS[did] ?? "cannot-tell",
    who: names.get(person) ?? name,
    role: (["inspector", "phone"].includes(role) ? `seen.role_${role}` : "seen.role_grower") as Key,
    says: (known ? `access.${did}` : "access.other") as Key,
    params: { what, n, phone: name ?? "–" },
  };
}

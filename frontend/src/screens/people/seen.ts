/** What the office wrote down of who looked at what, in words. */
import type { components } from "../../net/api";
import type { Key } from "../../words/catalogue";
import type { Params } from "../../words/forms";

type Accessed = components["schemas"]["Accessed"];

const SIGNS: Readonly<Record<string, string>> = {
  ...{ signed_in: "yes", sign_in_failed: "no", signed_out: "back", wrong_pin: "no" },
  ...{ link_made: "key", link_opened: "key", link_ended: "no" },
  ...{ phone_invited: "send", phone_joined: "send", phone_shut_out: "no" },
  ...{ person_changed: "who", person_removed: "no", person_erased: "no", taken_away: "paper" },
};

/** Whose name stands before it is null where only the role is known. */
export function seenSays(
  { did, role, person, name, of, of_name }: Accessed,
  names: ReadonlyMap<string, string>,
): { sign: string; who: string | null; role: Key; says: Key; params: Params } {
  const known = did in SIGNS;
  const [ident = ""] = of.split(" ");
  const what = of_name ?? names.get(ident) ?? of;
  const n = did === "wrong_pin" ? Number(of) : 1;
  return {
    sign: SIGNS[did] ?? "cannot-tell",
    who: names.get(person) ?? name,
    role: (["inspector", "phone"].includes(role) ? `seen.role_${role}` : "seen.role_grower") as Key,
    says: (known ? `access.${did}` : "access.other") as Key,
    params: { what, n, phone: name ?? "–" },
  };
}

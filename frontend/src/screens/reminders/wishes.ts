/** What a form of wishes holds as it is typed, and what is sent of it. */
import { hourOf } from "../../parts/hour";

export interface Typed {
  quietFrom: string;
  quietTo: string;
  at: string;
  address: string;
  push: boolean;
  mail: boolean;
  digestFrom: number;
}

export type Said = Readonly<Record<string, unknown>>;

/** As shipped, where neither the nursery nor the person says otherwise. */
const SHIPPED = { quiet_from: "20:00", quiet_to: "06:30", at: "07:00", digest_from: 3 };

export function typedOf(inForce: Said, address: string | null): Typed {
  const text = (name: "quiet_from" | "quiet_to" | "at"): string =>
    typeof inForce[name] === "string" ? inForce[name] : SHIPPED[name];
  const { digest_from: digest, push, mail } = inForce;
  return {
    ...{ quietFrom: text("quiet_from"), quietTo: text("quiet_to"), at: text("at") },
    ...{ address: address ?? "", push: push !== false, mail: mail !== false },
    digestFrom: typeof digest === "number" ? digest : SHIPPED.digest_from,
  };
}

/** `2000` and `20:00` are the same hour; null where the clock has none such. */
export function hour(text: string): string | null {
  return hourOf(text.trim().replace(/[:.h\s]/g, ""));
}

/** The field that cannot be sent as it was typed; null where all can. */
export function amiss({ quietFrom, quietTo, at, address }: Typed): keyof Typed | null {
  if (hour(quietFrom) === null) return "quietFrom";
  if (hour(quietTo) === null) return "quietTo";
  if (hour(at) === null) return "at";
  return address === "" || /^[^@\s]+@[^@\s]+$/.test(address.trim()) ? null : "address";
}

/** What is kept: what stood there before, and what was typed now. */
export function wishesOf(typed: Typed, before: Said, of: { all: boolean; address: boolean }): Said {
  const kept = {
    ...before,
    quiet_from: hour(typed.quietFrom),
    quiet_to: hour(typed.quietTo),
    digest_from: typed.digestFrom,
    push: typed.push,
    mail: typed.mail,
  };
  return {
    ...kept,
    ...(of.all ? { at: hour(typed.at) } : {}),
    ...(of.address ? { address: typed.address.trim() } : {}),
  };
}

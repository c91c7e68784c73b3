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
  /** Figures as they are typed: of the nursery alone but for the gap. */
  figures: Record<Figure, string>;
}

/** Least and most of what is typed as a whole number. */
export const FIGURES = {
  gap: { name: "gap_minutes", least: 0, most: 240 },
  mail: { name: "mail_after_hours", least: 1, most: 72 },
  grower: { name: "grower_after_hours", least: 1, most: 72 },
  ends: { name: "ends_days", least: 0, most: 3660 },
  access: { name: "access_months", least: 1, most: 120 },
  trap: { name: "trap_late_days", least: 1, most: 3660 },
} as const;
export type Figure = keyof typeof FIGURES;
/** Kept with the nursery's row, which phones read too. */
export const OF_THE_ROW = ["ends", "access", "trap"] as const;
const OF_WISHES = ["gap", "mail", "grower"] as const;
/** What holds where nobody says otherwise: own choices, but for the traps' two weeks. */
export const USUAL = { gap: 15, mail: 2, grower: 4, ends: 60, access: 36, trap: 14 } as const;

type Hours = "quietFrom" | "quietTo" | "at" | "address";
export type Said = Readonly<Record<string, unknown>>;

/** As shipped, where neither the nursery nor the person says otherwise. */
const SHIPPED = { quiet_from: "20:00", quiet_to: "06:30", at: "07:00", digest_from: 3 };

export function typedOf(inForce: Said, address: string | null, row: Said = {}): Typed {
  const text = (name: "quiet_from" | "quiet_to" | "at"): string =>
    typeof inForce[name] === "string" ? inForce[name] : SHIPPED[name];
  const { digest_from: digest, push, mail } = inForce;
  return {
    ...{ quietFrom: text("quiet_from"), quietTo: text("quiet_to"), at: text("at") },
    ...{ address: address ?? "", push: push !== false, mail: mail !== false },
    digestFrom: typeof digest === "number" ? digest : SHIPPED.digest_from,
    figures: {
      ...figuresOf(OF_WISHES, inForce),
      ...figuresOf(OF_THE_ROW, row),
    } as Record<Figure, string>,
  };
}

function figuresOf(some: readonly Figure[], said: Said): Partial<Record<Figure, string>> {
  return Object.fromEntries(
    some.map((one) => {
      const value = said[FIGURES[one].name];
      return [one, String(typeof value === "number" ? value : USUAL[one])];
    }),
  );
}

/** The whole number that is typed, within what can be; else null. */
export function figureOf(of: Figure, { figures }: Pick<Typed, "figures">): number | null {
  const text = figures[of].trim();
  const { least, most } = FIGURES[of];
  const value = /^\d{1,4}$/.test(text) ? Number(text) : -1;
  return value >= least && value <= most ? value : null;
}

/** The first figure that cannot be; of a person the gap alone is asked. */
export function oddFigure(typed: Pick<Typed, "figures">, all: boolean): Figure | null {
  const asked = all ? (Object.keys(FIGURES) as Figure[]) : (["gap"] as const);
  return asked.find((one) => figureOf(one, typed) === null) ?? null;
}

/** The nursery's row with what was typed; null where nothing of it changed. */
export function rowOf(typed: Pick<Typed, "figures">, row: Said): Said | null {
  const said = OF_THE_ROW.map((one) => [FIGURES[one].name, figureOf(one, typed)] as const);
  const own = OF_THE_ROW.map((one) => row[FIGURES[one].name] ?? USUAL[one]);
  return said.every(([, value], i) => value === own[i])
    ? null
    : { ...row, ...Object.fromEntries(said) };
}

/** `2000` and `20:00` are the same hour; null where the clock has none such. */
export function hour(text: string): string | null {
  return hourOf(text.trim().replace(/[:.h\s]/g, ""));
}

/** The field that cannot be sent as it was typed; null where all can. */
export function amiss({ quietFrom, quietTo, at, address }: Typed): Hours | null {
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
    gap_minutes: figureOf("gap", typed),
  };
  return {
    ...kept,
    ...(of.all
      ? {
          at: hour(typed.at),
          mail_after_hours: figureOf("mail", typed),
          grower_after_hours: figureOf("grower", typed),
        }
      : {}),
    ...(of.address ? { address: typed.address.trim() } : {}),
  };
}

/** The numbers of the emergency card, in words and with a sign. */
import { speech } from "../../parts/speech.svelte";
import { phone } from "../phone.svelte";

export interface Call {
  /** A code that the app has words for; null where somebody wrote words of their own. */
  readonly code: string | null;
  readonly says: string;
  readonly number: string;
  readonly who: string | null;
  readonly sign: string;
}

const SIGNS: Readonly<Record<string, string>> = {
  ambulance: "ambulance",
  poison: "poison",
  fire: "emergency",
  plant_health: "look-over",
  plant_health_office: "office",
  electrician: "bolt",
  water: "water",
  grower: "who",
};
const CODES = Object.keys(SIGNS);

interface Written {
  readonly what: string;
  readonly number: string;
  readonly who?: string | null;
}

export interface Card {
  readonly body: Readonly<Record<string, unknown>>;
}

/** As the card has them: who made it put the most pressing first. */
export function calls(cards: readonly Card[] = phone.rowsOf("emergency_card")): readonly Call[] {
  return cards
    .flatMap(({ body }) => (body["calls"] ?? []) as readonly Written[])
    .map(({ what, number, who = null }) => {
      const code = codeOf(what);
      const says = code === null ? what : (speech.word(`card.${code}`) ?? what);
      return { code, says, number, who, sign: (code && SIGNS[code]) ?? "tell" };
    });
}

/** By its code, or by the words for it in the language that is spoken. */
function codeOf(what: string): string | null {
  if (CODES.includes(what)) return what;
  return CODES.find((code) => speech.word(`card.${code}`) === what) ?? null;
}

/** What a phone dials: figures and a leading plus. */
export function dialled(number: string): string {
  return `tel:${number.replace(/[^\d+]/g, "")}`;
}

/** The picture of the product's label, where the card has one. */
export function labelPhoto(cards: readonly Card[]): string | null {
  const photo = cards.map(({ body }) => body["photo"])[0];
  return typeof photo === "string" ? photo : null;
}

/** A plan worked back from the field: what is asked, what is told, and what becomes a proposal. */
import { readNumber } from "../../words/forms";
import { tidy } from "../rows/typing";

export const STAGES = ["before", "nursery", "field"] as const;
export type Stage = (typeof STAGES)[number];
export const CERTAINTIES = [0.8, 0.9, 0.95] as const;

export interface Weeks {
  readonly first: string;
  readonly last: string;
}

export interface Step {
  readonly act: string;
  readonly on: string;
  readonly until: string | null;
  readonly past: boolean;
}

export interface Told {
  readonly as_of_seq: number;
  readonly crop: string;
  readonly plants: number;
  readonly certainty: number;
  readonly start: {
    readonly middle: number;
    readonly sure: number | null;
    readonly stages: readonly {
      /** Own grafts stand beside the stages that may be typed. */
      readonly stage: Stage | "take";
      readonly lost: number;
      readonly from: "book" | "typed" | "practice";
      readonly batches: number;
    }[];
  };
  readonly days: readonly Step[];
  readonly missing: readonly string[];
}

export interface Asking {
  crop: string;
  plants: string;
  weeks: Weeks | null;
  certainty: number;
  permit: string;
  lost: Record<Stage, string>;
  /** A day of release, from which it is planned forward. */
  release: string | null;
}

/** Whole plants, at least one. */
export function plantsOf(typed: string): number | null {
  const read = readNumber(typed);
  return typeof read === "number" && Number.isInteger(read) && read > 0 ? read : null;
}

/** The share that was typed in per cent; nothing typed is null, what cannot be is undefined. */
export function shareOf(typed: string): number | null | undefined {
  if (tidy(typed) === "") return null;
  const read = readNumber(typed.replace("%", ""));
  return typeof read === "number" && read < 100 ? read / 100 : undefined;
}

/** What is asked of the office; null as long as something lacks or cannot be. */
export function askedOf(form: Asking): object | null {
  const plants = plantsOf(form.plants);
  const shares = STAGES.map((stage) => [stage, shareOf(form.lost[stage])] as const);
  const odd = shares.some(([, share]) => share === undefined);
  if (form.crop === "" || plants === null || form.weeks === null || odd) return null;
  return {
    ...{ crop: form.crop, plants, first: form.weeks.first, last: form.weeks.last },
    certainty: form.certainty,
    lost: Object.fromEntries(shares.filter(([, share]) => share !== null)),
    permit: form.permit === "" ? null : form.permit,
    release: form.release,
  };
}

/** What somebody does, by its name in a booking; other lines only say what will be. */
const ACTS: Readonly<Record<string, string>> = {
  ...{ stratify: "stratifying", sow: "sowing", pot: "potting" },
  ...{ toughen: "toughening", inspect: "inspection", plant: "planting" },
};

/** With these a plan begins, so they are of as many as are to be started. */
const STARTS: ReadonlySet<string> = new Set(["stratify", "sow"]);

/** The acts of a plan that are still to come, as proposals about a place. */
export function proposalsOf(told: Told, place: string, plan: string): readonly object[] {
  return told.days.flatMap(({ act, on, past }) => {
    const booked = ACTS[act];
    if (booked === undefined || past) return [];
    const started = STARTS.has(act) ? (told.start.sure ?? told.start.middle) : null;
    // How many are left in between nobody says.
    const plants = act === "plant" ? told.plants : started;
    const body = { act: booked, on, proposed: true, ...(plants === null ? {} : { plants }), plan };
    return [{ kind: "booked", about: [place], body }];
  });
}

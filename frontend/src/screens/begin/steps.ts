/** The first fifteen minutes: which steps there are, what each leaves behind, which comes next. */
import type { PersonRow } from "../people/people";
import { hasPin } from "../who/pin";

export const STEPS = [
  ...(["language", "place", "conditions", "grower", "bench"] as const),
  ...(["people", "phone", "try", "backup", "card"] as const),
] as const;
export type Step = (typeof STEPS)[number];

/** Steps before there is a nursery: what they say waits in the browser for the fourth. */
export const BEFORE = ["language", "place", "conditions", "grower"] as const satisfies Step[];

/** What was said before there is a nursery to keep it. */
export interface Said {
  language: string;
  name: string;
  country: string;
  zone: string;
  mark: string;
  conditions: boolean | null;
  grower: string;
  email: string;
}

export const UNSAID: Said = {
  ...{ language: "", name: "", country: "", zone: "", mark: ".", conditions: null },
  ...{ grower: "", email: "" },
};

/** What the office has of the later steps. */
export interface Facts {
  readonly benches: number;
  readonly people: readonly PersonRow[];
  readonly phones: number;
  readonly batches: number;
  readonly backedUp: boolean;
  readonly card: boolean;
}

const PEOPLE = 2;

/** A step is done by what it left behind, whoever did it and wherever. */
export function isDone(step: Step, said: Said, facts: Facts | null): boolean {
  if (facts !== null) return isKept(step, facts);
  if (step === "language") return said.language !== "";
  if (step === "place") return said.name.trim() !== "" && said.zone !== "";
  return step === "conditions" && said.conditions !== null;
}

function isKept(step: Step, facts: Facts): boolean {
  if (step === "bench") return facts.benches > 0;
  if (step === "people") return facts.people.filter(({ body }) => hasPin(body)).length >= PEOPLE;
  if (step === "phone") return facts.phones > 0;
  if (step === "try") return facts.batches > 0;
  if (step === "backup") return facts.backedUp;
  return step === "card" ? facts.card : true;
}

/** Where to go on; null where all is done. */
export function firstOpen(said: Said, facts: Facts | null): Step | null {
  const steps: readonly Step[] = facts === null ? BEFORE : STEPS;
  return steps.find((step) => !isDone(step, said, facts)) ?? null;
}

/** The step after one, null after the last. */
export function after(step: Step): Step | null {
  return STEPS[STEPS.indexOf(step) + 1] ?? null;
}

export function isStep(name: string): name is Step {
  return (STEPS as readonly string[]).includes(name);
}

/** A step that can be opened now: without a nursery there is nothing to put a bench into. */
export function mayOpen(step: Step, begun: boolean): boolean {
  return begun !== (BEFORE as readonly Step[]).includes(step);
}

/** Whom every nursery is asked for; kept as codes, so that each tile reads them in its language. */
export const CALLS = ["ambulance", "fire", "poison", "plant_health", "electrician"] as const;
/** All codes of the card that there are words for. */
export const CODES = [...CALLS, "plant_health_office", "water", "grower"] as const;

export interface Call {
  readonly what: string;
  readonly number: string;
  readonly who?: string | null;
}

/** The card's lines as they are kept: those with a number; whom by code where there is one. */
export function callsOf(
  lines: readonly Call[],
  codes: ReadonlyMap<string, string>,
): readonly Call[] {
  return lines
    .map(({ what, number, who }) => ({
      what: what.trim(),
      number: number.trim(),
      who: who ?? null,
    }))
    .filter(({ what, number }) => what !== "" && number !== "")
    .map((call) => ({ ...call, what: codes.get(call.what) ?? call.what }));
}

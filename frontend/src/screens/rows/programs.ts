/** A program of toughening as it is being typed: its steps from the shadiest on, and its limits. */
import { freeIdOf } from "../../log/seats";
import { readNumber } from "../../words/forms";
import type { NamedBody, Wrong } from "./shapes";
import { tidy, wrongNaming, type Naming } from "./typing";

export const WINDS = ["still", "sides_open_hours", "sides_open", "lee", "exposed"] as const;
export const CHECKS = ["scorch", "wilt", "roots", "pests"] as const;

export interface StepBody {
  readonly id: string;
  readonly shade_percent: number;
  readonly days?: number | null;
  readonly sun_hours?: number | null;
  readonly water_every_days?: number | null;
  readonly wind?: string | null;
  readonly feed?: string | null;
  readonly checks?: readonly string[];
}

export interface ProgramBody extends NamedBody {
  readonly steps: readonly StepBody[];
  readonly source: string;
  readonly limits?: Readonly<Record<string, number | boolean>> | null;
  readonly crops?: readonly string[];
}

export interface StepTyping {
  /** Empty for a step that the program did not have before. */
  id: string;
  shade: string;
  days: string;
  hours: string;
  water: string;
  wind: string;
  feed: string;
  checks: string[];
}

/** Limits that a grower changes, with what is usual; shares are typed in per cent. */
export const LIMITS = {
  scorch_share: { usual: 5, of: 100 },
  wilt_share: { usual: 5, of: 100 },
  heat_c: { usual: 35, of: 1 },
  heat_above_mean_c: { usual: 7, of: 1 },
  wind_kmh: { usual: 40, of: 1 },
  cold_c: { usual: 8, of: 1 },
} as const;
export type Limit = keyof typeof LIMITS;
export const LIMIT_NAMES = Object.keys(LIMITS) as Limit[];

export interface ProgramTyping extends Omit<Naming, "called"> {
  source: string;
  crops: string[];
  steps: StepTyping[];
  limits: Record<Limit, string>;
  tropical: boolean;
}

export function noStep(): StepTyping {
  return {
    ...{ id: "", shade: "", days: "5", hours: "", water: "", wind: "still", feed: "" },
    checks: ["scorch"],
  };
}

const figure = (value: number | null | undefined): string => (value == null ? "" : String(value));

export function programTyping(body: ProgramBody | null, today: string): ProgramTyping {
  const limits = body?.limits ?? {};
  const typed = (name: Limit): string => {
    const value = limits[name];
    return typeof value === "number" ? figure(Math.round(value * LIMITS[name].of * 100) / 100) : "";
  };
  return {
    name: body?.name ?? "",
    since: body === null ? today : (body.since ?? null),
    until: body?.until ?? null,
    source: body?.source ?? "",
    crops: [...(body?.crops ?? [])],
    steps: body === null ? [noStep()] : body.steps.map(stepOf),
    limits: Object.fromEntries(LIMIT_NAMES.map((name) => [name, typed(name)])) as Record<
      Limit,
      string
    >,
    tropical: limits["tropical"] !== false,
  };
}

function stepOf(step: StepBody): StepTyping {
  return {
    id: step.id,
    shade: figure(step.shade_percent),
    days: figure(step.days ?? 5),
    hours: figure(step.sun_hours),
    water: figure(step.water_every_days),
    wind: step.wind ?? "still",
    feed: step.feed ?? "",
    checks: [...(step.checks ?? [])],
  };
}

/** Where on the sheet a figure of one step stands. */
export function stepField(i: number, name: "shade" | "days" | "hours" | "water"): string {
  return `step-${i}-${name}`;
}

const SPANS = {
  shade: [0, 100],
  days: [1, 365],
  hours: [0, 24],
  water: [0.25, 60],
} as const;
const NEEDED: ReadonlySet<string> = new Set(["shade", "days"]);

export function wrongProgram(typed: ProgramTyping, others: readonly string[]): Wrong | null {
  const amiss = typed.steps.flatMap(wrongStep);
  const none: Wrong | null =
    typed.steps.length === 0 ? { field: "steps", value: null, says: "rows.no_steps" } : null;
  const source: Wrong | null = tidy(typed.source) === "" ? { field: "source", value: null } : null;
  return (
    wrongNaming(typed, others) ??
    source ??
    none ??
    amiss[0] ??
    notThinning(typed.steps) ??
    wrongLimit(typed)
  );
}

function wrongStep(step: StepTyping, i: number): Wrong[] {
  return (Object.keys(SPANS) as (keyof typeof SPANS)[]).flatMap((name) => {
    const text = tidy(step[name]);
    if (text === "" && !NEEDED.has(name)) return [];
    const [least, most] = SPANS[name];
    const value = readNumber(text);
    const whole = name !== "days" || Number.isInteger(value);
    return typeof value === "number" && value >= least && value <= most && whole
      ? []
      : [{ field: stepField(i, name), value: text, says: "rows.odd_step" as const }];
  });
}

/** Each step lets in as much sun as the one before it, or more. */
function notThinning(steps: readonly StepTyping[]): Wrong | null {
  const shades = steps.map(({ shade }) => Number(readNumber(shade)));
  const at = shades.findIndex((shade, i) => shade > (shades[i - 1] ?? shade));
  return at < 0
    ? null
    : { field: stepField(at, "shade"), value: String(shades[at]), says: "rows.shadier" };
}

function wrongLimit({ limits }: ProgramTyping): Wrong | null {
  const odd = LIMIT_NAMES.find((name) => {
    const text = tidy(limits[name]);
    return text !== "" && typeof readNumber(text) !== "number";
  });
  return odd === undefined ? null : { field: odd, value: limits[odd], says: "rows.odd_step" };
}

/** The row; a limit that nobody typed is the usual one. */
export function programBody(typed: ProgramTyping, before: ProgramBody | null): ProgramBody {
  const taken = typed.steps.map(({ id }) => id).filter((id) => id !== "");
  const limits = LIMIT_NAMES.flatMap((name): [string, number][] => {
    const value = readNumber(tidy(typed.limits[name]));
    return typeof value === "number" ? [[name, value / LIMITS[name].of]] : [];
  });
  return {
    ...before,
    name: tidy(typed.name),
    source: tidy(typed.source),
    crops: typed.crops,
    steps: typed.steps.map((step) => {
      const id = step.id === "" ? freeIdOf(`shade ${tidy(step.shade)}`, taken) : step.id;
      taken.push(id);
      return stepBody(step, id);
    }),
    limits: { ...Object.fromEntries(limits), tropical: typed.tropical },
    since: typed.since,
    until: typed.until,
  };
}

function stepBody(step: StepTyping, id: string): StepBody {
  const number = (text: string): number | null => {
    const value = readNumber(tidy(text));
    return typeof value === "number" ? value : null;
  };
  const known = { sun_hours: number(step.hours), water_every_days: number(step.water) };
  const feed = tidy(step.feed);
  return {
    id,
    shade_percent: number(step.shade) ?? 0,
    days: number(step.days) ?? 5,
    ...Object.fromEntries(Object.entries(known).filter(([, value]) => value !== null)),
    wind: step.wind,
    ...(feed === "" ? {} : { feed }),
    checks: step.checks,
  };
}

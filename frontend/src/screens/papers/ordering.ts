/** An order of the authority as it stands in its form, and the records that it makes. */
import type { Instant } from "../../log/entry";
import type { Draft } from "../../log/write";

export const ACTS = [
  { act: "hold", sign: "hold" },
  { act: "lift", sign: "lift" },
  { act: "destroy", sign: "lost" },
  { act: "treat", sign: "treat" },
  { act: "restart", sign: "undo" },
  { act: "extend", sign: "weeks" },
  { act: "not_before", sign: "release" },
  { act: "look", sign: "look-over" },
] as const;
export type Act = (typeof ACTS)[number]["act"];

export interface Ordering {
  reference: string;
  photos: string[];
  /** What it says, in the order in which it was ticked. */
  acts: Act[];
  /** Which batches an act is about, where a person said so. */
  about: Partial<Record<Act, string[]>>;
  /** Who alone may go in while the hold stands; nobody named, everybody may. */
  admits: string[];
  /** Which hold it lifts; empty where it names none, and lifts all. */
  lifts: string;
  times: number;
  interval: number;
  /** Counts again from the treatment of this number; 0 from its own day. */
  after: number;
  days: number;
  notBefore: string | null;
  /** The day that is being put together, and those that stand. */
  lookOn: string | null;
  looks: string[];
  /** The last day for an act, where it names one; null as long as that day is not typed. */
  dueOn: Partial<Record<Act, string | null>>;
  /** How many plants are to be destroyed; 0 where it is all of what it is about. */
  part: number;
}

export const NO_ORDER: Ordering = {
  ...{ reference: "", photos: [], acts: [], about: {}, admits: [], lifts: "" },
  ...{ times: 2, interval: 10, after: 0, days: 14, notBefore: null, lookOn: null, looks: [] },
  ...{ dueOn: {}, part: 0 },
};

export interface Ground {
  /** The room; null where it is about batches alone. */
  readonly place: string | null;
  readonly batches: readonly string[];
}

/** Acts that an order may want done by a day. */
export function mayNameADay(act: Act): act is "destroy" | "treat" {
  return act === "destroy" || act === "treat";
}

/** Acts that are about the room as well as about what stands in it. */
const OF_ROOMS: ReadonlySet<Act> = new Set(["hold", "lift", "look", "not_before"]);

/**
 * Which batches an act is about where nobody said so: all; nothing is destroyed by default, and what
 * is to be destroyed is not treated.
 */
export function aboutOf({ about, acts }: Ordering, act: Act, ground: Ground): readonly string[] {
  const said = about[act];
  if (said) return said.filter((id) => ground.batches.includes(id));
  if (act === "destroy") return [];
  const gone = acts.includes("destroy") ? (about.destroy ?? []) : [];
  const stays = act === "hold" || act === "lift" ? [] : gone;
  return ground.batches.filter((id) => !stays.includes(id));
}

/** What keeps an act from being written: nobody said of what, or which day. */
export function openOf(form: Ordering, ground: Ground): Act[] {
  return form.acts.filter((act) => {
    if (subjects(form, act, ground).length === 0) return true;
    if (mayNameADay(act) && form.dueOn[act] === null) return true;
    if (act === "not_before") return form.notBefore === null;
    if (act === "look") return form.looks.length === 0;
    return act === "extend" && form.days === 0;
  });
}

function subjects(form: Ordering, act: Act, ground: Ground): string[] {
  const place = ground.place !== null && OF_ROOMS.has(act) ? [ground.place] : [];
  return [...place, ...aboutOf(form, act, ground)];
}

/** One record for each act; a first day of release goes with the look-overs of the same plants. */
export function draftsOf(form: Ordering, ground: Ground, at: { occurredAt?: Instant }): Draft[] {
  const reference = form.reference.trim();
  const photo = form.photos[0] === undefined ? {} : { photo: form.photos[0] };
  const told = isOneRecord(form, ground)
    ? form.acts.filter((act) => act !== "not_before")
    : form.acts;
  return told.map((act): Draft => {
    const floor = act === "look" && told !== form.acts ? { not_before: form.notBefore } : {};
    const code = act === "not_before" ? "extend" : act;
    const body = { act: code, reference, ...photo, ...detail(form, act), ...floor };
    return { kind: "ordered", about: subjects(form, act, ground), body, ...at };
  });
}

/** Whether the look-overs and the first day of release are about the same. */
function isOneRecord(form: Ordering, ground: Ground): boolean {
  if (!form.acts.includes("look") || !form.acts.includes("not_before")) return false;
  const [looked, kept] = (["look", "not_before"] as const).map((act) =>
    subjects(form, act, ground),
  );
  return String(looked) === String(kept);
}

function detail(form: Ordering, act: Act): Draft["body"] {
  const due = mayNameADay(act) && form.dueOn[act] ? { due_on: form.dueOn[act] } : {};
  switch (act) {
    case "hold":
      return form.admits.length > 0 ? { admits: [...form.admits] } : {};
    case "lift":
      return form.lifts === "" ? {} : { lifts: form.lifts };
    case "destroy":
      return { ...(form.part > 0 ? { count: form.part } : {}), ...due };
    case "treat": {
      const apart = form.interval > 0 ? { interval_days: form.interval } : {};
      return { times: form.times, ...apart, ...due };
    }
    case "restart":
      return form.after > 0 ? { after_treatment: form.after } : {};
    case "extend":
      return { days: form.days };
    case "not_before":
      return { not_before: form.notBefore };
    case "look":
      return { looks_on: [...form.looks] };
  }
}

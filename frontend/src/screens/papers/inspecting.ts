/** An official inspection as it stands in its form, and the records that it makes. */
import type { Instant } from "../../log/entry";
import type { Draft } from "../../log/write";
import type { Reason } from "../../net/views";

export interface Inspecting {
  inspector: string;
  /** The number of its report. */
  paper: string;
  photos: string[];
  activeGrowth: boolean;
  /** Of a listed pest, or of one that nobody can name: what the inspection is for. */
  answer: "nothing" | "found" | "";
  /** Which batches were seen, where a person said so. */
  about: string[] | null;
  /** How many of each, where they were not all; figures as they are typed. */
  seen: Record<string, string>;
  counted: boolean;
  /** A pest that is on no list, the batch that it was on, and how many plants. */
  unlisted: { pest: string; batch: string; plants: number };
}

export const NO_INSPECTION: Inspecting = {
  ...{ inspector: "", paper: "", photos: [], activeGrowth: false, answer: "", about: null },
  ...{ seen: {}, counted: false, unlisted: { pest: "", batch: "", plants: 1 } },
};

/** What the office says of a consignment's papers: how many of it to look at, and by which level. */
export interface Asked {
  readonly batches: readonly string[];
  readonly plans?: { readonly inspection?: { readonly why: Reason } };
}

/** How many to look at, by the papers of what was chosen; consignments without a level say nothing. */
export function plansOf(consignments: readonly Asked[], chosen: readonly string[]): Reason[] {
  return consignments
    .filter(({ batches }) => batches.some((batch) => chosen.includes(batch)))
    .flatMap(({ plans }) => plans?.inspection?.why ?? []);
}

export interface Alive {
  readonly id: string;
  readonly alive: number | null;
}

/** How many plants of a batch the officer saw: all, or as many as were typed. */
export function seenOf(form: Pick<Inspecting, "seen" | "counted">, { id, alive }: Alive): number {
  const typed = form.seen[id] ?? "";
  return form.counted && typed !== "" ? Number(typed) : (alive ?? 0);
}

/** The longest name that a record takes. */
const MOST = 64;

/** One record for each batch, since each is seen by itself; what was found beside is a find. */
export function draftsOf(
  form: Inspecting,
  batches: readonly Alive[],
  at: { occurredAt?: Instant },
): Draft[] {
  const inspected = batches.map((batch) => ({
    kind: "inspected",
    about: [batch.id],
    body: {
      inspector: form.inspector.trim().slice(0, MOST),
      answer: form.answer,
      plants: seenOf(form, batch),
      active_growth: form.activeGrowth,
      ...(form.paper.trim() === "" ? {} : { paper: form.paper.trim() }),
      ...(form.photos[0] === undefined ? {} : { photo: form.photos[0] }),
    },
    ...at,
  }));
  return [...inspected, ...beside(form, at)];
}

/** Wiped off by hand there and then: no suspicion, and no hold. */
function beside({ unlisted }: Inspecting, at: { occurredAt?: Instant }): Draft[] {
  const { pest, batch, plants } = unlisted;
  if (pest === "" || batch === "") return [];
  return [{ kind: "found", about: [batch], body: { suspicion: false, pest, plants }, ...at }];
}

export function isReady({ inspector, answer, unlisted }: Inspecting): boolean {
  const whole = unlisted.pest === "" || unlisted.batch !== "";
  return inspector.trim() !== "" && answer !== "" && whole;
}

/** A loss as it stands in its form, and the records that it makes. */
import type { Fate } from "../../log/bodies";
import { following } from "../../log/numbering";
import type { Draft } from "../../log/write";

export const FATES = ["died", "culled", "sampled", "destroyed", "stolen"] as const;

/** Why plants leave by a fate. Codes with their words under `cause.`. */
export const CAUSES: Readonly<Record<Fate, readonly string[]>> = {
  died: [
    ...["stem_rot", "root_rot", "damped_off", "dried_out", "too_wet", "heat", "cold"],
    ...["pest", "broken", "on_arrival", "unknown"],
  ],
  culled: ["j_root", "weak", "broken", "off_type", "pest", "surplus"],
  sampled: [],
  destroyed: ["pest"],
  stolen: [],
};

export interface Losing {
  fate: Fate;
  count: number;
  cause: string | null;
  /** Null as long as nobody said: as the conditions have it. */
  kept: boolean | null;
  byAuditor: boolean | null;
  order: string | null;
  /** Figures of the sample's name. */
  sample: string;
  laboratory: string | null;
  forFind: boolean;
}

export function blank(fate: Fate, sample: string): Losing {
  return {
    ...{ fate, count: 0, cause: null, kept: null, byAuditor: null, order: null, sample },
    ...{ laboratory: null, forFind: true },
  };
}

export type LossBody = Readonly<{
  count: number;
  fate: Fate;
  cause?: string | null;
  kept?: boolean | null;
  by_auditor?: boolean | null;
  order?: string | null;
}>;

export function filled(body: LossBody): Losing {
  const { count, fate, cause = null, kept = false, by_auditor = false, order = null } = body;
  return { ...blank(fate, ""), count, cause, kept, byAuditor: by_auditor, order };
}

/** What is taken for true where the person said nothing: the conditions, and who takes a sample. */
export interface Usual {
  readonly kept: boolean;
  readonly byAuditor: boolean;
}

export function bodyOf(form: Losing, usual: Usual, cause = form.cause): LossBody {
  const { count, fate, kept, byAuditor, order } = form;
  return {
    count,
    fate,
    ...(cause === null ? {} : { cause }),
    kept: kept ?? usual.kept,
    by_auditor: byAuditor ?? usual.byAuditor,
    ...(order === null || fate !== "destroyed" ? {} : { order }),
  };
}

/** The records of one loss: of whole plants sampled the sample is a record of its own. */
export function draftsOf(
  form: Losing,
  usual: Usual,
  { id, prefix, find }: { id: string; prefix: string; find: string | null },
): Draft[] {
  if (form.fate !== "sampled") return [{ kind: "lost", about: [id], body: bodyOf(form, usual) }];
  const sample = `${prefix}${form.sample}`;
  const taken = {
    sample,
    plants: form.count,
    whole: true,
    ...(form.laboratory === null ? {} : { laboratory: form.laboratory }),
    ...(find !== null && form.forFind ? { found: find } : {}),
  };
  return [
    { kind: "sampled", about: [id], body: taken },
    { kind: "lost", about: [id], body: bodyOf(form, usual, sample) },
  ];
}

/** The letters of the samples' names, and the figures of the one after the highest. */
export function nextSample(known: readonly string[]): { prefix: string; figures: string } {
  const numbered = known.filter((name) => /\d$/.test(name));
  const highest = numbered.reduce(
    (one, other) => (numberOf(other) > numberOf(one) ? other : one),
    FIRST,
  );
  const next = following(highest);
  const prefix = next.replace(/\d+$/, "");
  return { prefix, figures: next.slice(prefix.length) };
}

/** The figures of a sample's name as they are written: as long as those of the one that comes next. */
export function figuresOf(typed: string, next: string): string {
  return typed === "" ? next : typed.padStart(next.length, "0");
}

/** What samples are called where none has a name yet. (Common practice, no source.) */
const FIRST = "S-00";

function numberOf(name: string): number {
  return Number(/\d+$/.exec(name)?.[0] ?? 0);
}

/** Samples and their results. A sample is on its way until a result names it (rule H-8). */
import type { Entry } from "./entry";
import { standing } from "./timeline";

export interface Sample {
  readonly sample: string;
  readonly at: string;
  /** The batches that it was taken of: its result is about the same. */
  readonly about: readonly string[];
  readonly plants: number;
  readonly laboratory: string | null;
  readonly test: string | null;
  /** The day by which the laboratory is to answer (rule C-14). */
  readonly due: string | null;
  /** The latest result's, or null as long as it is on its way. */
  readonly verdict: string | null;
}

interface Taken {
  readonly sample: string;
  readonly plants: number;
  readonly laboratory?: string | null;
  readonly test?: string | null;
  readonly result_due?: string | null;
}

/** The latest first. */
export function samplesOf(entries: Iterable<Entry>): Sample[] {
  const found = new Map<string, Sample>();
  const facts = standing(entries).entries;
  for (const { kind, occurredAt: at, about, body } of facts) {
    if (kind !== "sampled") continue;
    const taken = body as unknown as Taken;
    const { sample, plants, laboratory = null, test = null, result_due: due = null } = taken;
    found.set(sample, { sample, at, about, plants, laboratory, test, due, verdict: null });
  }
  for (const { kind, body } of facts) {
    if (kind !== "resulted") continue;
    const known = found.get(body.sample);
    if (known) found.set(body.sample, { ...known, verdict: body.verdict });
  }
  return [...found.values()].reverse();
}

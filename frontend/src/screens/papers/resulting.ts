/** A laboratory's result as it stands in its form, and the record that it makes. */
import type { Instant } from "../../log/entry";
import type { Sample } from "../../log/labs";
import type { Draft } from "../../log/write";

export const VERDICTS = ["negative", "reported", "presumptive", "confirmed"] as const;
export type Verdict = (typeof VERDICTS)[number];

export interface Resulting {
  sample: string;
  verdict: Verdict | "";
  pest: string;
  paper: string;
  photos: string[];
}

export const NO_RESULT: Resulting = { sample: "", verdict: "", pest: "", paper: "", photos: [] };

/** A result that says yes names what it is; one that says no names nothing that was found. */
export function draftOf(form: Resulting, sample: Sample, at: { occurredAt?: Instant }): Draft {
  const { verdict, pest, paper, photos } = form;
  const body = {
    ...{ sample: sample.sample, verdict },
    ...(pest === "" ? {} : { pest }),
    ...(paper.trim() === "" ? {} : { paper: paper.trim() }),
    ...(photos[0] === undefined ? {} : { photo: photos[0] }),
  };
  return { kind: "resulted", about: sample.about, body, ...at };
}

interface Shipped {
  readonly sample: string;
  readonly at: string;
  readonly laboratory: string | null;
  readonly state: string;
  readonly test?: string | null;
  readonly result_due?: string | null;
}

/** What this phone has read of the samples, and what only the office has told of them. */
export function allSamples(
  own: readonly Sample[],
  told: readonly (Shipped & { readonly batch: string })[],
): Sample[] {
  const known = new Set(own.map(({ sample }) => sample));
  const others = new Map<string, Sample>();
  for (const {
    sample,
    at,
    laboratory,
    state,
    test = null,
    result_due: due = null,
    batch,
  } of told) {
    if (known.has(sample)) continue;
    const about = [...(others.get(sample)?.about ?? []), batch];
    const verdict = state === "in_transit" ? null : state;
    others.set(sample, { sample, at, about, plants: 0, laboratory, test, due, verdict });
  }
  return [...own, ...others.values()].sort((a, b) => (a.at < b.at ? 1 : -1));
}

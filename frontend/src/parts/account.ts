/** The plant account as a sentence: what came in on the left, where every plant is on the right. */
import type { Ledger, Way } from "../log/batch";
import type { Key } from "../words/catalogue";

export interface Term {
  /** What the term's records are found by. */
  readonly name: Way | "in" | "alive" | "difference";
  readonly key: Key;
  readonly n: number;
}

export interface Sentence {
  readonly left: readonly Term[];
  readonly right: readonly Term[];
}

type Balance = Ledger & { readonly difference: number };

const FATES = ["died", "culled", "sampled", "destroyed", "stolen", "planted"] as const;
const BETWEEN: readonly (readonly [Way, Key, Key])[] = [
  ["sent", "fate.sent", "ledger.returned"],
  ["split", "ledger.split_out", "ledger.split_in"],
  ["joined", "ledger.joined_out", "ledger.joined_in"],
  ["mixed", "ledger.mixed_out", "ledger.mixed_in"],
  ["settled", "ledger.settled", "ledger.settled"],
];

export function sentence(ledger: Balance): Sentence {
  const came = BETWEEN.filter(([way]) => ledger[way] < 0).map(([name, , key]): Term => ({
    name,
    key,
    n: -ledger[name],
  }));
  const went = BETWEEN.filter(([way]) => ledger[way] > 0).map(([name, key]): Term => ({
    name,
    key,
    n: ledger[name],
  }));
  const opening: Term = { name: "in", key: "ledger.in", n: ledger.in };
  const fates = FATES.filter((fate) => ledger[fate] !== 0).map((fate): Term => ({
    name: fate,
    key: `fate.${fate}`,
    n: ledger[fate],
  }));
  const open: Term = { name: "difference", key: "ledger.difference", n: ledger.difference };
  return {
    left: ledger.in === 0 && came.length > 0 ? came : [opening, ...came],
    right: [
      { name: "alive", key: "fate.alive", n: ledger.alive },
      ...fates,
      ...went,
      ...(ledger.difference === 0 ? [] : [open]),
    ],
  };
}

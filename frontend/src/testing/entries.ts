/** Entries for tests: raw, as a phone stores them. */
import fc from "fast-check";
import { read, type Entry } from "../log/entry";

export interface Raw {
  kind: string;
  body: Record<string, unknown>;
  id?: number;
  at?: number;
  v?: number;
  about?: readonly string[];
  author?: string;
  corrects?: number | null;
}

export function idOf(n: number): string {
  return `00000000-0000-7000-8000-${n.toString(16).padStart(12, "0")}`;
}

/** Minute `at` after midnight of an invented day. */
export function instant(at: number): string {
  return new Date(Date.UTC(2031, 2, 3) + at * 60_000).toISOString();
}

export function raw({ kind, body, id = 1, at = id, v = 1, ...rest }: Raw): Record<string, unknown> {
  return {
    id: idOf(id),
    v,
    kind,
    about: rest.about ?? ["b-1"],
    occurred_at: instant(at),
    offset_min: 600,
    by_hand: false,
    author: rest.author ?? "p-1",
    confirmed: true,
    device: "d-1",
    install: "i-1",
    n: id,
    based_on: 7,
    skew_ms: 120,
    corrects: rest.corrects === undefined || rest.corrects === null ? null : idOf(rest.corrects),
    salt: "6f0c",
    body,
  };
}

export function entry(given: Raw): Entry {
  const made = read(raw(given));
  if (!made) throw new Error(`not an entry: ${JSON.stringify(given)}`);
  return made;
}

const small = fc.nat({ max: 60 });
const batchId = fc.constantFrom("b-1", "b-2", "b-3");
const place = fc.constantFrom("r-1", "r-2");
const share = fc.record({ id: batchId, count: small });
const newBatch = fc.record(
  { id: batchId, label: fc.constantFrom("T1", "T2"), place, stage: fc.constant("seedlings") },
  { requiredKeys: ["id", "label"] },
);
const division = fc.record({
  parents: fc.array(fc.record({ id: batchId, left: small }), { minLength: 1, maxLength: 2 }),
  children: fc.array(
    fc.record(
      { id: batchId, label: fc.constant("U"), count: small, place, parents: fc.array(batchId) },
      { requiredKeys: ["id", "label", "count"] },
    ),
    { minLength: 1, maxLength: 2 },
  ),
});
const fate = fc.constantFrom("died", "culled", "sampled", "destroyed", "stolen");
const doubt = fc.constantFrom(
  "difference:x",
  "contested:x",
  ...[1, 2, 3].map((n) => `suspicion:${idOf(n)}`),
  ...[1, 2, 3].map((n) => `unconfirmed:${idOf(n)}`),
);
const ids = fc.integer({ min: 1, max: 6 }).map(idOf);
const who = fc.record(
  { person: fc.constantFrom("p-1", "p-2"), visitor: fc.record({ name: fc.constant("Ola") }) },
  { requiredKeys: [] },
);

/** Bodies by kind: mostly sound, and some that no phone should write. */
const BODIES: Readonly<Record<string, fc.Arbitrary<object>>> = {
  received: fc.record({ consignment: fc.constant("c-1"), batches: fc.array(newBatch), place }),
  taken_on: fc.record({
    batch: newBatch,
    alive: small,
    method: fc.constantFrom("full", "estimate"),
  }),
  sown: fc.record({ batch: newBatch, seeds: small }),
  emerged: fc.record({ total: small }),
  stuck: fc.record({ batch: newBatch, cuttings: small }),
  worked: fc.record({ method: fc.constant("budded"), plants: small, scion: batchId }),
  split: division,
  pricked: division,
  mixed: division,
  joined: division,
  moved: fc.record({ to: place }),
  potted: fc.record({ container: fc.constant("pot"), place }, { requiredKeys: ["container"] }),
  relabelled: fc.record({ old: fc.constant("T1"), new: fc.constant("T9") }),
  stepped: fc.record({ step: fc.constant("forward") }),
  counted: fc.record({ method: fc.constantFrom("full", "estimate"), alive: small }),
  lost: fc.record({ count: small, fate, kept: fc.boolean() }),
  settled: fc.record(
    { doubt, reason: fc.constant("seen"), plants: small, fate, by: fc.constantFrom("p-1", "p-2") },
    { requiredKeys: ["doubt", "reason"] },
  ),
  sent: fc.record({ receiver: fc.constant("x"), plants: fc.array(share) }),
  returned: fc.record({ sender: fc.constant("x"), plants: fc.array(share) }),
  disposed: fc.record({
    what: fc.constant("dead"),
    method: fc.constant("burned"),
    plants: fc.array(share),
  }),
  planted: fc.record({ block: fc.constant("k"), positions: fc.array(fc.constant("1")) }),
  ordered: fc.record(
    {
      act: fc.constantFrom("hold", "lift", "lift", "treat"),
      reference: fc.constantFrom("Q-1", "Q-2"),
      lifts: fc.oneof(fc.constantFrom("Q-1", null), ids),
    },
    { requiredKeys: ["act", "reference"] },
  ),
  found: fc.record({ suspicion: fc.boolean() }),
  sampled: fc.record(
    { sample: fc.constantFrom("S-1", "S-2"), plants: small, found: ids },
    { requiredKeys: ["sample", "plants"] },
  ),
  resulted: fc.record({
    sample: fc.constantFrom("S-1", "S-2"),
    verdict: fc.constantFrom("negative", "confirmed"),
  }),
  treated: fc.record({
    product: fc.constant("x"),
    started_at: fc.constant(instant(1)),
    ended_at: fc.constant(instant(2)),
    reentry_until: small.map((n) => instant(n + 60)),
  }),
  entered: who,
  left: who,
  noted: fc.record({ text: fc.string() }),
  withdrawn: fc.constant({}),
  unheard_of: fc.object(),
  lost_wrong: fc.record({ count: fc.constantFrom(-1, 1.5, "3") }),
};

/** Whole histories about three batches and two rooms, corrections and rings of them included. */
export const histories: fc.Arbitrary<Record<string, unknown>[]> = fc
  .array(
    fc.constantFrom(...Object.keys(BODIES)).chain((kind) =>
      fc.record({
        kind: fc.constant(kind.replace("_wrong", "")),
        body: BODIES[kind] as fc.Arbitrary<Record<string, unknown>>,
        at: fc.nat({ max: 40 }),
        about: fc.subarray(["b-1", "b-2", "b-3", "r-1"], { minLength: 1 }),
        corrects: fc.option(fc.integer({ min: 1, max: 20 }), { freq: 3 }),
      }),
    ),
    { maxLength: 20 },
  )
  .map((list) => list.map((given, i) => raw({ ...given, id: i + 1 })));

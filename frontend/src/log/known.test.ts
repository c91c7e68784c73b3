import { expect, test } from "vitest";
import { COUNTED, divided, lost, RECEIVED } from "../testing/batches";
import { entry, idOf, instant, type Raw } from "../testing/entries";
import { knownOf, type Known } from "./known";

const NEW = { id: "b-1", label: "T1", crop: "lime", container: "liner tray", cells: 54 };
const came: Raw = { kind: "received", body: { consignment: "c-1", batches: [NEW] } };
const known = (...given: Raw[]): Known => knownOf("b-1", given.map(entry));

test.each<[string, Raw[], Partial<Known>]>([
  [
    "an arrival tells tray, crop and consignment",
    [came],
    { crop: "lime", container: "liner tray", cells: 54, consignment: "c-1", beganAt: instant(1) },
  ],
  ["an arrival that does not say more tells no more", [RECEIVED], { crop: null, cells: null }],
  [
    "stock already here tells its paper",
    [
      {
        kind: "taken_on",
        body: {
          ...{ batch: NEW, alive: 9, method: "full", permit: "p-1" },
          clock_started_on: "2031-01-02",
        },
      },
    ],
    { permit: "p-1", openedOn: "2031-01-02", beganAt: instant(1) },
  ],
  [
    "stock without conditions tells none",
    [{ kind: "taken_on", body: { batch: NEW, alive: 9, method: "full" } }],
    { permit: null, openedOn: null },
  ],
  [
    "seed tells its tray",
    [{ kind: "sown", body: { batch: NEW, seeds: 9, consignment: "c-2" } }],
    { cells: 54, consignment: "c-2" },
  ],
  [
    "cuttings tell their tray",
    [{ kind: "stuck", body: { batch: NEW, cuttings: 9 } }],
    { cells: 54, beganAt: instant(1) },
  ],
  [
    "a batch that cuttings were taken from began by something else",
    [{ kind: "stuck", body: { batch: { ...NEW, id: "b-2" }, cuttings: 9 } }],
    { beganAt: null },
  ],
  [
    "plants that came by a split have no cells of their own",
    [came, divided("split", [{ id: "b-2", left: 1 }], [{ id: "b-1", label: "T1", count: 4 }])],
    {
      cells: null,
      crop: "lime",
      container: "liner tray",
      oneOfParents: false,
      beganAt: instant(1),
    },
  ],
  [
    "a new batch of a split begins with it",
    [divided("split", [{ id: "b-2", left: 1 }], [{ ...NEW, count: 4 }])],
    { cells: 54, crop: "lime", beganAt: instant(9) },
  ],
  [
    "a parent of a split keeps its tray",
    [came, divided("split", [{ id: "b-1", left: 1 }], [{ id: "b-2", label: "T2", count: 4 }])],
    { cells: 54 },
  ],
  [
    "plants whose label was lost are of one of several batches",
    [divided("mixed", [{ id: "b-2", left: 1 }], [{ ...NEW, count: 4 }])],
    { oneOfParents: true },
  ],
  [
    "a batch that lost a label itself is what it was",
    [came, divided("mixed", [{ id: "b-1", left: 1 }], [{ id: "b-2", label: "U", count: 4 }])],
    { oneOfParents: false },
  ],
  [
    "potted on they stand in no tray any more",
    [came, { id: 2, kind: "potted", body: { container: "2.5 L pot" } }],
    { container: "2.5 L pot", cells: null },
  ],
  [
    "the authority names a day",
    [came, { id: 2, kind: "opened", body: { on: "2031-02-01", permit: "p-2" } }],
    { openedOn: "2031-02-01", permit: "p-2" },
  ],
  [
    "a notice releases",
    [came, { id: 2, kind: "released", body: { notice: "RN-204", count: 54 } }],
    { released: { notice: "RN-204", at: instant(2) } },
  ],
  ["the dead are in the bag", [came, COUNTED, lost(3, 2, { kept: true })], { bag: { died: 2 } }],
  [
    "what cannot be read says nothing",
    [came, { id: 2, kind: "mixed", body: { children: 4 } }],
    { oneOfParents: false },
  ],
])("%s", (_, given, expected) => {
  expect(known(...given)).toMatchObject(expected);
});

test("a record of another batch says nothing of this one", () => {
  expect(known({ ...came, about: ["b-2"] }).beganAt).toBeNull();
});

test("what was settled is known by the doubt's name", () => {
  const doubt = `disagreement:${idOf(1)}:${idOf(2)}`;
  const found = known(came, { id: 2, kind: "settled", body: { doubt, reason: "seen" } });
  expect([...found.settled]).toEqual([doubt]);
});

test("a notice that is no text is no name", () => {
  const odd = entry({ id: 2, kind: "released", body: { notice: "RN-1", count: 1 } });
  const torn = { ...odd, body: {} } as typeof odd;
  expect(knownOf("b-1", [entry(came), torn]).released).toEqual({ notice: "", at: instant(2) });
});

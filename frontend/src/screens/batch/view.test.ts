import { describe, expect, test } from "vitest";
import { batchJson } from "../../log/batch";
import * as fold from "../../log/fold";
import { knownOf } from "../../log/known";
import { lately } from "../../log/lately";
import type { BatchOutlook } from "../../net/outlook";
import type { Doubt } from "../../net/views";
import type { KeptBatch } from "../../shelf/folding";
import { counted, COUNTED, lost, RECEIVED } from "../../testing/batches";
import { entry, idOf, type Raw } from "../../testing/entries";
import { drawn, viewOf } from "./view";

const BARE = {
  ...{ crop: null, consignment: null, container: null, cells: null, one_of_parents: false },
  began_at: null,
  lately: lately([]),
};
const OUTLOOK: BatchOutlook = {
  ...{ label: "T1", clock: null, gates: [], held: [], doubts: [], samples: [] },
};

function view(given: Raw[], outlook: BatchOutlook | null = null) {
  const entries = given.map(entry);
  const kept: KeptBatch = { ...batchJson(fold.batch("b-1", entries)), ...BARE };
  return viewOf(kept, knownOf("b-1", entries), entries, outlook);
}
const doubt = (code: string, more: Partial<Doubt> = {}): Doubt => ({
  ...{ id: `${code}:x`, code, weight: "blocking", entries: ["x"], params: {}, settled_by: null },
  ...more,
});
const ids = (found: { doubts: readonly Doubt[] }): string[] => found.doubts.map(({ id }) => id);
const BASE = [RECEIVED, COUNTED];
const APART = counted(9, 53);

describe("what a phone shows of a batch", () => {
  test("is its account, and what only its records tell", () => {
    expect(view([...BASE, lost(3, 2, { kept: true })])).toMatchObject({
      ...{ id: "b-1", label: "T1", alive: 52, consignment: "c-1", bag: { died: 2 } },
      ...{ one_of_parents: false, released: null, outlook: null, doubts: [] },
    });
  });

  test("doubts two counts made apart without signal, and what they leave unexplained", () => {
    const found = view([...BASE, APART]);
    expect(ids(found)).toEqual([`disagreement:${idOf(2)}:${idOf(9)}`, "difference:"]);
    expect(found.doubts[0]?.params).toEqual({ first: 54, second: 53 });
    expect(found.doubts[1]?.params).toEqual({ plants: 1 });
  });

  test("knows better than the office's word of yesterday", () => {
    const told = [doubt("disagreement"), doubt("difference"), doubt("below_zero")];
    expect(ids(view(BASE, { ...OUTLOOK, own_doubts: told }))).toEqual(["below_zero:x"]);
  });

  test("calls a difference by the office's name for it, so that it can be settled", () => {
    const told = [doubt("difference", { id: "difference:abc" })];
    const found = view([...BASE, { ...APART, at: 400 }], { ...OUTLOOK, own_doubts: told });
    expect(ids(found)).toEqual(["difference:abc"]);
  });

  test("drops what was settled here since", () => {
    const settled = { id: 9, kind: "settled", body: { doubt: "below_zero:x", reason: "seen" } };
    const outlook = {
      ...OUTLOOK,
      own_doubts: [doubt("below_zero")],
      doubts: [doubt("label_twice"), doubt("below_zero"), doubt("x", { settled_by: "y" })],
    };
    const found = view([...BASE, settled], outlook);
    expect(found.doubts).toEqual([]);
    expect(found.outlook?.doubts.map(({ code }) => code)).toEqual(["label_twice"]);
  });

  test("doubts no figure before anybody counted", () => {
    expect(view([RECEIVED, lost(3, 2)]).doubts).toEqual([]);
  });
});

test.each([
  [{ oneOfParents: true, cells: null, container: null }, "mixed"],
  [{ oneOfParents: false, cells: null, container: "2.5 L pot" }, "pots"],
  [{ oneOfParents: false, cells: 54, container: "liner tray" }, "tray"],
])("a batch of %j is drawn as %s", (known, shape) => {
  expect(drawn({ id: "b-1", label: null }, known)).toEqual({ label: "b-1", shape });
});

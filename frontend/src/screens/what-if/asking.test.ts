import { describe, expect, test } from "vitest";
import { grouped, seasons, supposed, toTreat, waiting, type Form, type Moved } from "./asking";

const DAYS = { earliest: "2031-08-30", together: "2031-08-30", notice: "2031-09-01" };
const LATER = { ...DAYS, together: "2032-02-16", notice: "2032-02-16" };
const LOST = { code: "main_weeks_lost", params: { first: "2031-10-01" } };
const moved = (id: string, more: Partial<Moved> = {}): Moved => ({
  ...{ id, label: id.toUpperCase(), before: DAYS, after: LATER, n: 168, season: [LOST] },
  ...more,
});

describe("what would follow", () => {
  test("is told once of batches that it concerns alike", () => {
    const groups = grouped([moved("t1"), moved("t2"), moved("new", { before: null, label: null })]);
    expect(groups.map(({ ids, labels }) => [ids, labels])).toEqual([
      [
        ["t1", "t2"],
        ["T1", "T2"],
      ],
      [["new"], []],
    ]);
  });

  test("says a lost season once", () => {
    expect(seasons(grouped([moved("t1"), moved("t2", { after: DAYS })]))).toEqual([LOST]);
  });
});

describe("what may be asked about", () => {
  const batch = (id: string, more = {}) => ({
    ...{ id, closed: false, consignment: "c-1", released: null, outlook: { clock: {} } },
    ...more,
  });

  test("are the batches that wait for a release, by consignment", () => {
    const some = [
      batch("t1"),
      batch("t2"),
      batch("gone", { closed: true }),
      batch("free", { released: { notice: "RN-1" } }),
      batch("own", { outlook: { clock: null } }),
      batch("no consignment", { consignment: null }),
    ];
    expect([...waiting(some)]).toEqual([["c-1", ["t1", "t2"]]]);
  });

  test("are orders that ask for a treatment", () => {
    const orders = [
      { act: "treat", reference: "Q-2" },
      { act: "restart", reference: "Q-1", after_treatment: 2 },
      { act: "hold", reference: "Q-3" },
    ];
    const some = [batch("t1", { record: { orders } }), batch("t2", { record: { orders } })];
    expect(toTreat([...some, batch("bare")])).toEqual(["Q-1", "Q-2"]);
  });
});

describe("a supposition", () => {
  const form = (more: Partial<Form>): Form => ({
    ...{ what: "notice", on: "2031-08-20", plants: null, crop: "", container: "", room: "" },
    ...{ permit: "", days: null, batches: [], order: "" },
    ...more,
  });
  const comes = { what: "consignment", plants: 400, room: "room" } as const;

  test.each([
    [form({}), { what: "notice", on: "2031-08-20" }],
    [form({ on: null }), null],
    [form({ what: "treatment" }), null],
    [
      form({ what: "treatment", order: "Q-1" }),
      { what: "treatment", on: "2031-08-20", order: "Q-1" },
    ],
    [form({ what: "inspection" }), null],
    [
      form({ what: "inspection", batches: ["t1"] }),
      { what: "inspection", on: "2031-08-20", batches: ["t1"] },
    ],
    [form({ what: "consignment", plants: 400 }), null],
    [form({ what: "consignment", room: "room" }), null],
    [form({ ...comes, days: 180 }), { ...comes, on: "2031-08-20", days: 180 }],
    [
      form({ ...comes, days: 180, permit: "p", crop: "banana", container: "1 L" }),
      { ...comes, on: "2031-08-20", permit: "p", crop: "banana", container: "1 L" },
    ],
  ] as [Form, object | null][])("%j is asked as %j", (said, asked) => {
    expect(supposed(said)).toEqual(asked);
  });
});

import fc from "fast-check";
import { expect, test } from "vitest";
import { read, type Instant } from "./entry";
import { nextId, written, type Pen } from "./write";

const UUID7 = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;
const PEN: Pen = {
  author: "p-9",
  confirmed: true,
  device: "d-4",
  install: "i-51",
  now: "2031-03-23T22:00:00.000Z" as Instant,
  offsetMin: 600,
  skewMs: 120,
  basedOn: 48211,
};
const random = fc.uint8Array({ minLength: 8, maxLength: 8 });
const clock = fc.integer({ min: 0, max: 2 ** 42 });

test("ids of an install rise, however its clock jumps", () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(clock, random), { minLength: 2, maxLength: 40 }), (steps) => {
      let last: string | null = null;
      for (const [ms, chance] of steps) {
        const id = nextId(ms, last, chance);
        expect(id).toMatch(UUID7);
        if (last !== null) expect(id.slice(0, 18) > last.slice(0, 18)).toBe(true);
        last = id;
      }
    }),
  );
});

test("an id tells its millisecond, and a full millisecond runs over into the next", () => {
  const chance = new Uint8Array(8);
  expect(nextId(0x0199f2c4abcd, null, chance)).toBe("0199f2c4-abcd-7000-8000-000000000000");
  expect(nextId(5, "0199f2c4-abcd-7fff-8000-000000000000", chance)).toBe(
    "0199f2c4-abce-7000-8000-000000000000",
  );
});

test("what is written can be read back as it was meant", () => {
  const stamp = { id: nextId(1, null, new Uint8Array(8)), n: 7, salt: "6f0c" };
  const draft = { kind: "counted", about: ["b-17"], body: { method: "full", alive: 53 } };
  const entry = read(JSON.parse(written(draft, PEN, stamp)));
  expect(entry).toMatchObject({ kind: "counted", n: 7, occurredAt: PEN.now, author: "p-9" });
});

test("a time that a person typed says that it was typed", () => {
  const stamp = { id: nextId(1, null, new Uint8Array(8)), n: 7, salt: "6f0c" };
  const occurredAt = "2031-03-20T22:00:00.000Z" as Instant;
  const draft = { kind: "noted", about: ["b-17"], body: { text: "x" }, occurredAt };
  expect(JSON.parse(written({ ...draft, corrects: stamp.id }, PEN, stamp))).toMatchObject({
    occurred_at: occurredAt,
    by_hand: true,
    corrects: stamp.id,
  });
});

import { expect, test } from "vitest";
import { factsOf, wants } from "./phones";
import type { PhoneView } from "./staff.svelte";

const NOW = "2031-03-24T08:00:00.000Z";
const CALM: PhoneView = {
  ...{ id: "d-1", name: "Room phone", joined_at: NOW, revoked_at: null, last_seen_at: NOW },
  ...{ unsent: 0, photos_unsent: 0, oldest_unsent_at: null, persisted: true, app: "1" },
  ...{ skew_ms: 0, missing: [], silent: false },
};

const CASES: [string, Partial<PhoneView>, string, object, boolean][] = [
  ["all is sent", {}, "phones.all_sent", {}, false],
  ["some is not", { unsent: 3 }, "phones.unsent", { n: 3 }, false],
  [
    "some is old",
    { unsent: 3, oldest_unsent_at: "2031-03-24T06:04:00Z" },
    "phones.unsent_since",
    { n: 3, age: 116 },
    false,
  ],
  ["it fell silent", { unsent: 1, silent: true }, "phones.unsent", { n: 1 }, true],
  ["numbers never came", { missing: [[2, 3], [7, 7]] }, "phones.missing", { n: 3 }, true], // prettier-ignore
  ["its clock is ahead", { skew_ms: 300_001 }, "phones.clock_ahead", { off: 300_001 }, true],
  ["its clock is behind", { skew_ms: -400_000 }, "phones.clock_behind", { off: -400_000 }, true],
  ["nothing is kept for good", { persisted: false }, "phones.not_kept", {}, true],
];

test.each(CASES)("of a phone it is told first that %s", (_, more, says, params, wanted) => {
  const phone = { ...CALM, ...more };
  expect(factsOf(phone, NOW)[0]).toMatchObject({ says, params });
  expect(wants(phone, NOW)).toBe(wanted);
});

test("a clock five minutes off is let be, photos are told, and nothing is asked of a shut phone", () => {
  const phone = { ...CALM, skew_ms: 300_000, photos_unsent: 2, persisted: null };
  expect(factsOf(phone, NOW).map(({ says }) => says)).toEqual(["phones.all_sent", "phones.photos"]);
  expect(wants({ ...CALM, persisted: false, revoked_at: NOW }, NOW)).toBe(false);
});

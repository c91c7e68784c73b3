import { expect, test } from "vitest";
import { seenSays, takenSays } from "./seen";

const LINE = { id: "1", at: "2031-03-03T02:00:00Z", role: "grower", person: "p-g", of: "" };
const NAMES = new Map([
  ["p-g", "Ana"],
  ["p-7", "Person 7"],
]);

test("who did it is told by name, a phone or link by what it is called, else by role", () => {
  const more = { name: null, of_name: null };
  expect(seenSays({ ...LINE, ...more, did: "signed_in" }, NAMES).who).toBe("Ana");
  const phone = { ...LINE, ...more, role: "phone", person: "", name: "blue", did: "phone_joined" };
  expect(seenSays(phone, NAMES)).toMatchObject({ who: "blue", role: "seen.role_phone" });
  const nobody = { ...LINE, ...more, person: "", did: "signed_in" };
  expect(seenSays(nobody, NAMES)).toMatchObject({ who: null, role: "seen.role_grower" });
});

test("whom or what it was about is told by its name, without the reason behind it", () => {
  const erased = { ...LINE, name: null, of_name: null, did: "person_erased", of: "p-7 asked" };
  expect(seenSays(erased, NAMES).params).toMatchObject({ what: "Person 7" });
  const paper = { ...LINE, name: null, of_name: null, did: "taken_away", of: "labels" };
  expect(seenSays(paper, NAMES).params).toMatchObject({ what: "labels" });
});

test("wrong PINs and devices come with their number, and a newer code has words", () => {
  const wrong = { ...LINE, name: "blue", of_name: null, did: "wrong_pin", of: "4" };
  expect(seenSays(wrong, NAMES).params).toEqual({ what: "4", n: 4, phone: "blue" });
  const ended = { ...LINE, name: null, of_name: null, did: "session_ended", of: "2" };
  expect(seenSays(ended, NAMES)).toMatchObject({ says: "access.session_ended", params: { n: 2 } });
  const newer = { ...LINE, name: null, of_name: null, did: "newer" };
  expect(seenSays(newer, NAMES)).toMatchObject({ says: "access.other", sign: "cannot-tell" });
});

test.each([
  ["consignments/c-1/file.pdf", "taken.file (consignment c-1)"],
  ["consignments/c%201/file.html", "taken.signed_file (consignment c 1)"],
  ["handovers/0199f2c4-abcd/slip.pdf", "taken.slip"],
  ["handovers/0199f2c4-abcd", "taken.handover"],
  ["trace.pdf", "taken.trace"],
  ["blocks/terrace-4/positions.csv", "taken.positions (place terrace-4)"],
  ["labels", "taken.labels"],
  ["something/0199f2c4", "taken.other"],
])("what was taken at %s is told in words, without ids of records", (of, told) => {
  const nameOf = (type: string, id: string): string => `${type} ${id}`;
  expect(takenSays(of, (key) => key, nameOf)).toBe(told);
});

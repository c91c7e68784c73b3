import { expect, test } from "vitest";
import { fits, hasPin } from "./pin";

// The vector of RFC 7914 section 11 for PBKDF2-HMAC-SHA256 ("passwd", "salt", 1), its first 32 bytes.
const VECTOR = {
  pin_hash: "55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc",
  pin_salt: "73616c74",
  pin_rounds: 1,
};

test("a PIN fits the row that was made from it, and no other does", async () => {
  expect(await fits("passwd", VECTOR)).toBe(true);
  expect(await fits("passwe", VECTOR)).toBe(false);
});

test("who has no PIN fits none", async () => {
  expect(hasPin({})).toBe(false);
  expect(hasPin(VECTOR)).toBe(true);
  expect(await fits("", {})).toBe(false);
});

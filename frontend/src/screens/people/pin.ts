/**
 * A person's PIN, made in the browser: the four figures never leave it, so that no server, log or
 * copy of the book ever holds them. A PIN says who writes and protects nothing; its hash goes to
 * every phone, which needs it to ask without signal.
 */
import { fits, type Pinned } from "../who/pin";
import type { PersonRow } from "./people";

export const ROUNDS = 100_000;
const SALT_BYTES = 16;

/** False where the browser counts the page as unsafe: plain http from another computer. */
export function canBeMade(): boolean {
  return "subtle" in crypto;
}

/** The fields of a person's row for a PIN of four figures (PBKDF2-HMAC-SHA256). */
export async function pinned(pin: string): Promise<Required<Pinned>> {
  const salt = crypto.getRandomValues(new Uint8Array(SALT_BYTES));
  const given = new TextEncoder().encode(pin);
  const key = await crypto.subtle.importKey("raw", given, "PBKDF2", false, ["deriveBits"]);
  const way = { name: "PBKDF2", hash: "SHA-256", salt, iterations: ROUNDS };
  const derived = new Uint8Array(await crypto.subtle.deriveBits(way, key, 256));
  return { pin_hash: hex(derived), pin_salt: hex(salt), pin_rounds: ROUNDS };
}

/** Who else has these four figures. Allowed, but then a wrong tile is not noticed. */
export async function sharedWith(
  pin: string,
  people: readonly PersonRow[],
  own: string,
): Promise<PersonRow | null> {
  for (const person of people) {
    if (person.id !== own && (await fits(pin, person.body))) return person;
  }
  return null;
}

function hex(bytes: Uint8Array): string {
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Whether four figures are somebody's: a PIN says who writes, it protects nothing. */
export interface Pinned {
  readonly pin_hash?: unknown;
  readonly pin_salt?: unknown;
  readonly pin_rounds?: unknown;
}

export const FIGURES = 4;

export function hasPin({ pin_hash }: Pinned): boolean {
  return typeof pin_hash === "string";
}

/** PBKDF2-HMAC-SHA256 over the salt, as the person's row was made. */
export async function fits(pin: string, who: Pinned): Promise<boolean> {
  const { pin_hash, pin_salt, pin_rounds } = who;
  if (typeof pin_hash !== "string" || typeof pin_salt !== "string") return false;
  const key = await crypto.subtle.importKey("raw", bytes(pin), "PBKDF2", false, ["deriveBits"]);
  const derived = await crypto.subtle.deriveBits(
    { name: "PBKDF2", hash: "SHA-256", salt: unhex(pin_salt), iterations: Number(pin_rounds) },
    key,
    256,
  );
  return hex(derived) === pin_hash;
}

function bytes(text: string): Uint8Array<ArrayBuffer> {
  return new TextEncoder().encode(text);
}

function unhex(text: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(text.match(/../g) ?? [], (pair) => parseInt(pair, 16));
}

function hex(buffer: ArrayBuffer): string {
  return [...new Uint8Array(buffer)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

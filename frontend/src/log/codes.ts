/**
 * What the square code on a label says: which batch or place it is, and nothing else.
 *
 * Twin of `nursery/domain/codes.py`, which says why; `tests/vectors/codes.json` keeps the two alike.
 */
export type What = "batch" | "place";

export interface Code {
  readonly what: What;
  readonly id: string;
}

const CODE = /^L([BP])(?:\.([A-Z2-7]{26})|\/((?:[A-Z0-9.-]|%[0-9A-F]{2})+))$/;
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;
const PIECE = /%([0-9A-F]{2})|([A-Z0-9.-])/g;
const PLAIN = /^[a-z0-9.-]$/;
const SIGNS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";
const LONGEST_ID = 64;

export function write({ what, id }: Code): string {
  const head = what === "batch" ? "LB" : "LP";
  if (UUID.test(id)) return `${head}.${packed(bytesOf(id.replaceAll("-", "")))}`;
  return `${head}/${[...new TextEncoder().encode(id)].map(sign).join("")}`;
}

/** What a code says, or null where the text is none of ours: an id has one text only. */
export function read(text: string): Code | null {
  const found = CODE.exec(text);
  if (!found) return null;
  const [, letter, uuid, name] = found;
  const id = uuid === undefined ? unescaped(`${name}`) : unpacked(uuid);
  if (id === null || Array.from(id).length > LONGEST_ID) return null;
  const code: Code = { what: letter === "B" ? "batch" : "place", id };
  return write(code) === text ? code : null;
}

function sign(byte: number): string {
  const letter = String.fromCharCode(byte);
  return PLAIN.test(letter) ? letter.toUpperCase() : `%${hex(byte).toUpperCase()}`;
}

/** Bytes in base32 without padding (RFC 4648 section 6). */
function packed(bytes: readonly number[]): string {
  const bits = `${bytes.map((byte) => byte.toString(2).padStart(8, "0")).join("")}00`;
  return bits.replace(/.{5}/g, (five) => SIGNS.charAt(parseInt(five, 2)));
}

function unpacked(text: string): string {
  const bits = Array.from(text)
    .map((one) => SIGNS.indexOf(one).toString(2).padStart(5, "0"))
    .join("");
  const all = Array.from({ length: 16 }, (_, i) => hex(parseInt(bits.slice(8 * i, 8 * i + 8), 2)));
  return all.join("").replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

function unescaped(name: string): string | null {
  const bytes = [...name.matchAll(PIECE)].map(([plain, hexed]) =>
    hexed === undefined ? plain.toLowerCase().charCodeAt(0) : parseInt(hexed, 16),
  );
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(new Uint8Array(bytes));
  } catch {
    return null;
  }
}

function bytesOf(hexed: string): number[] {
  return Array.from({ length: 16 }, (_, i) => parseInt(hexed.slice(2 * i, 2 * i + 2), 16));
}

function hex(byte: number): string {
  return byte.toString(16).padStart(2, "0");
}

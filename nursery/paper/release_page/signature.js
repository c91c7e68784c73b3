// Ed25519 (RFC 8032): verifying alone, where nothing is secret and no time need be hidden.

const P = (1n << 255n) - 19n;
const ORDER = (1n << 252n) + 27742317777372353535851937790883648493n;

function mod(value, by = P) {
  const rest = value % by;
  return rest < 0n ? rest + by : rest;
}

function power(base, exponent) {
  let result = 1n;
  let square = mod(base);
  for (let left = exponent; left > 0n; left >>= 1n) {
    if (left & 1n) result = (result * square) % P;
    square = (square * square) % P;
  }
  return result;
}

const inverse = (value) => power(value, P - 2n);
const D = mod(-121665n * inverse(121666n));
const ROOT_OF_MINUS_ONE = power(2n, (P - 1n) / 4n);

function littleEndian(bytes) {
  let value = 0n;
  for (let i = bytes.length - 1; i >= 0; i -= 1) value = (value << 8n) | BigInt(bytes[i]);
  return value;
}

/** The x that belongs to a y on the curve, with the sign asked for; null where there is none. */
function xOf(y, sign) {
  const square = mod((y * y - 1n) * inverse(D * y * y + 1n));
  let x = power(square, (P + 3n) / 8n);
  if (mod(x * x - square) !== 0n) x = mod(x * ROOT_OF_MINUS_ONE);
  if (mod(x * x - square) !== 0n || (x === 0n && sign === 1n)) return null;
  return (x & 1n) === sign ? x : P - x;
}

/** A point as X, Y, Z, T, from its 32 bytes; null where they are none. */
function pointOf(bytes) {
  const whole = littleEndian(bytes);
  const y = whole & ((1n << 255n) - 1n);
  if (y >= P) return null;
  const x = xOf(y, whole >> 255n);
  return x === null ? null : [x, y, 1n, mod(x * y)];
}

function plus([x1, y1, z1, t1], [x2, y2, z2, t2]) {
  const a = mod((y1 - x1) * (y2 - x2));
  const b = mod((y1 + x1) * (y2 + x2));
  const c = mod(2n * t1 * t2 * D);
  const d = mod(2n * z1 * z2);
  const [e, f, g, h] = [b - a, d - c, d + c, b + a];
  return [mod(e * f), mod(g * h), mod(f * g), mod(e * h)];
}

function timesPoint(factor, point) {
  let sum = [0n, 1n, 1n, 0n];
  let doubled = point;
  for (let left = factor; left > 0n; left >>= 1n) {
    if (left & 1n) sum = plus(sum, doubled);
    doubled = plus(doubled, doubled);
  }
  return sum;
}

function samePoint([x1, y1, z1], [x2, y2, z2]) {
  return mod(x1 * z2 - x2 * z1) === 0n && mod(y1 * z2 - y2 * z1) === 0n;
}

const BASE_Y = mod(4n * inverse(5n));
const BASE = [xOf(BASE_Y, 0n), BASE_Y, 1n, mod(xOf(BASE_Y, 0n) * BASE_Y)];

/** Whether the key signed the message: [S]B = R + [k]A. */
function signedBy(key, message, signature) {
  if (key.length !== 32 || signature.length !== 64) return false;
  const [a, r] = [pointOf(key), pointOf(signature.slice(0, 32))];
  const s = littleEndian(signature.slice(32));
  if (a === null || r === null || s >= ORDER) return false;
  const hashed = new Uint8Array(64 + message.length);
  hashed.set(signature.slice(0, 32));
  hashed.set(key, 32);
  hashed.set(message, 64);
  const k = mod(littleEndian(sha512(hashed)), ORDER);
  return samePoint(timesPoint(s, BASE), plus(r, timesPoint(k, a)));
}

const LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";

/** The name of a key: eighty bits of its SHA-256, in four groups. */
function fingerprint(key) {
  const bits = [...sha256(key).slice(0, 10)].map((one) => one.toString(2).padStart(8, "0")).join("");
  const letters = bits.match(/.{5}/g).map((five) => LETTERS[parseInt(five, 2)]);
  return letters.join("").match(/.{4}/g).join("-");
}

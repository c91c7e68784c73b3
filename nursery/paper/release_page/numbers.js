// SHA-256 and SHA-512 (FIPS 180-4). A page that was opened from a file may be denied the browser's
// own, so they come along. Their constants are worked out from the primes, as the standard does.

const MASK = (1n << 64n) - 1n;

/** The whole part of the root of a number that is scaled up. */
function rootOf(value, power) {
  let high = 1n;
  while (high ** power <= value) high <<= 1n;
  let low = high >> 1n;
  while (low + 1n < high) {
    const middle = (low + high) >> 1n;
    if (middle ** power <= value) low = middle;
    else high = middle;
  }
  return low;
}

function primes(many) {
  const found = [];
  for (let one = 2; found.length < many; one += 1)
    if (found.every((prime) => one % prime !== 0)) found.push(one);
  return found.map(BigInt);
}

/** The first 64 bits of the fractional parts of square and cube roots. */
const SQUARES = primes(8).map((prime) => rootOf(prime << 128n, 2n) & MASK);
const CUBES = primes(80).map((prime) => rootOf(prime << 192n, 3n) & MASK);
const upper = (figure) => Number(figure >> 32n) | 0;
const START_256 = Int32Array.from(SQUARES, upper);
const WORDS_256 = new Int32Array(64);
const ROUNDS_256 = Int32Array.from(CUBES.slice(0, 64), upper);

/** The bytes with the mark, the zeros and the length that fill the last blocks. */
function padded(bytes, block) {
  const tail = block / 8;
  const size = Math.ceil((bytes.length + 1 + tail) / block) * block;
  const whole = new Uint8Array(size);
  whole.set(bytes);
  whole[bytes.length] = 0x80;
  const view = new DataView(whole.buffer);
  view.setUint32(size - 8, Math.floor(bytes.length / 0x20000000));
  view.setUint32(size - 4, (bytes.length << 3) >>> 0);
  return view;
}

function sha256(bytes) {
  const view = padded(bytes, 64);
  const state = START_256.slice();
  const w = WORDS_256;
  for (let at = 0; at < view.byteLength; at += 64) {
    for (let i = 0; i < 16; i += 1) w[i] = view.getInt32(at + i * 4);
    for (let i = 16; i < 64; i += 1) {
      const x = w[i - 15];
      const y = w[i - 2];
      const s0 = ((x >>> 7) | (x << 25)) ^ ((x >>> 18) | (x << 14)) ^ (x >>> 3);
      const s1 = ((y >>> 17) | (y << 15)) ^ ((y >>> 19) | (y << 13)) ^ (y >>> 10);
      w[i] = (w[i - 16] + s0 + w[i - 7] + s1) | 0;
    }
    rounds256(state, w);
  }
  const out = new DataView(new ArrayBuffer(32));
  for (let i = 0; i < 8; i += 1) out.setInt32(i * 4, state[i]);
  return new Uint8Array(out.buffer);
}

function rounds256(state, w) {
  let a = state[0];
  let b = state[1];
  let c = state[2];
  let d = state[3];
  let e = state[4];
  let f = state[5];
  let g = state[6];
  let h = state[7];
  for (let i = 0; i < 64; i += 1) {
    const s1 = ((e >>> 6) | (e << 26)) ^ ((e >>> 11) | (e << 21)) ^ ((e >>> 25) | (e << 7));
    const t1 = (h + s1 + ((e & f) ^ (~e & g)) + ROUNDS_256[i] + w[i]) | 0;
    const s0 = ((a >>> 2) | (a << 30)) ^ ((a >>> 13) | (a << 19)) ^ ((a >>> 22) | (a << 10));
    const t2 = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    h = g;
    g = f;
    f = e;
    e = (d + t1) | 0;
    d = c;
    c = b;
    b = a;
    a = (t1 + t2) | 0;
  }
  state[0] += a;
  state[1] += b;
  state[2] += c;
  state[3] += d;
  state[4] += e;
  state[5] += f;
  state[6] += g;
  state[7] += h;
}

const turned = (x, n) => ((x >> n) | (x << (64n - n))) & MASK;

function sha512(bytes) {
  const view = padded(bytes, 128);
  const state = [...SQUARES];
  for (let at = 0; at < view.byteLength; at += 128) {
    const w = [];
    for (let i = 0; i < 16; i += 1) w.push(view.getBigUint64(at + i * 8));
    for (let i = 16; i < 80; i += 1) {
      const s0 = turned(w[i - 15], 1n) ^ turned(w[i - 15], 8n) ^ (w[i - 15] >> 7n);
      const s1 = turned(w[i - 2], 19n) ^ turned(w[i - 2], 61n) ^ (w[i - 2] >> 6n);
      w.push((w[i - 16] + s0 + w[i - 7] + s1) & MASK);
    }
    rounds512(state, w);
  }
  const out = new DataView(new ArrayBuffer(64));
  state.forEach((word, i) => out.setBigUint64(i * 8, word));
  return new Uint8Array(out.buffer);
}

function rounds512(state, w) {
  let [a, b, c, d, e, f, g, h] = state;
  for (let i = 0; i < 80; i += 1) {
    const s1 = turned(e, 14n) ^ turned(e, 18n) ^ turned(e, 41n);
    const t1 = h + s1 + ((e & f) ^ (~e & MASK & g)) + CUBES[i] + w[i];
    const s0 = turned(a, 28n) ^ turned(a, 34n) ^ turned(a, 39n);
    const t2 = s0 + ((a & b) ^ (a & c) ^ (b & c));
    [h, g, f, e, d, c, b, a] = [g, f, e, (d + t1) & MASK, c, b, a, (t1 + t2) & MASK];
  }
  const now = [a, b, c, d, e, f, g, h];
  for (let i = 0; i < 8; i += 1) state[i] = (state[i] + now[i]) & MASK;
}

const DIGITS = "0123456789abcdef";

function toHex(bytes) {
  let text = "";
  for (const byte of bytes) text += DIGITS[byte >> 4] + DIGITS[byte & 15];
  return text;
}

/** What lower-case hex stands for; null for anything else. */
function fromHex(text) {
  if (typeof text !== "string" || !/^([0-9a-f]{2})*$/.test(text)) return null;
  const bytes = new Uint8Array(text.length / 2);
  for (let i = 0; i < bytes.length; i += 1) bytes[i] = parseInt(text.substr(i * 2, 2), 16);
  return bytes;
}

const ENCODER = new TextEncoder();
const utf8 = (text) => ENCODER.encode(text);
const textHash = (text) => toHex(sha256(utf8(text)));

// Checks a bundle as `nursery verify FILE` does, and calls its parts alike. The page's own bytes it
// cannot see when it checks itself; of a file that is handed to it, it checks them too.

const STARTS = '<script type="application/json" id="bundle">';
const ENDS = "</" + "script>";
const FIRST = [
  ["key", 2],
  ["seal", 3],
  ["manifest", 2],
  ["checkpoint", 3],
  ["proof", 2],
  ["file", 2],
];
const SEAL = "lathhouse release file 1";
const CHECKPOINT = "lathhouse checkpoint 1";
const LEAF = new Uint8Array([0]);
const NODE = new Uint8Array([1]);

/** What a line says; null where it is not written as the product writes. */
function partOf(line) {
  try {
    const part = JSON.parse(line);
    const written = JSON.stringify(part).replaceAll("<", "\\u003c");
    return Array.isArray(part) && part.length > 0 && written === line ? part : null;
  } catch {
    return null;
  }
}

/** Checks the lines of a bundle; `around` is the hash of the page, or null where it is not known. */
function checkLines(text, around = null) {
  const parts = text.split("\n").map(partOf);
  for (const [at, [name, length]] of FIRST.entries()) {
    const part = parts[at];
    if (!part || part[0] !== name || part.length !== length) return { faults: [name] };
  }
  const [[, key], seal, [, manifest], checkpoint, [, proof], [, file]] = parts;
  const bytes = fromHex(key);
  if (bytes === null) return { faults: ["key"] };
  const name = fingerprint(bytes);
  const fault = upperFault(bytes, name, seal, manifest, checkpoint);
  if (fault !== null) return { faults: [fault], fingerprint: name };
  const told = { fingerprint: name, seal: JSON.parse(seal[1]), file };
  const listed = JSON.parse(manifest);
  return { ...told, ...lower(listed, { key: bytes, checkpoint, proof, file, around }, parts) };
}

/** The part that breaks the way from the key to the manifest; null where none does. */
function upperFault(key, name, seal, manifest, checkpoint) {
  if (!signs(key, seal)) return signs(key, checkpoint) ? "seal" : "key";
  const said = JSON.parse(seal[1]);
  if (said.type !== SEAL || said.key !== name) return "seal";
  return textHash(String(manifest)) === said.manifest ? null : "manifest";
}

function signs(key, [, text, signature]) {
  const signed = fromHex(signature);
  return typeof text === "string" && signed !== null && signedBy(key, utf8(text), signed);
}

/** What of the parts that the manifest names is not what it names. */
function lower(listed, { key, checkpoint, proof, file, around }, parts) {
  const faults = around === null || around === listed.shell ? [] : ["shell"];
  const stands = textHash(String(checkpoint[1])) === listed.checkpoint && signs(key, checkpoint);
  if (!stands) faults.push("checkpoint");
  const rest = parts.slice(FIRST.length);
  const whole = Array.isArray(proof) && textHash(proof.join("\n")) === listed.proof;
  if (!whole || (stands && !leads(proof, listed.records, checkpoint[1]))) faults.push("proof");
  if (textHash(String(file)) !== listed.file) faults.push("file");
  faults.push(...recordFaults(rest, listed.records), ...photoFaults(rest, listed.photos));
  if (faults.length === 0 && !inOrder(rest, listed)) faults.push("form");
  const said = stands ? JSON.parse(checkpoint[1]) : { size: 0, at: "" };
  const many = { records: listed.records.length, photos: listed.photos.length };
  return { faults, size: said.size, at: said.at, ...many };
}

/** The records that the manifest lists and that are not there word by word. */
function recordFaults(parts, listed) {
  const told = new Set(parts.filter((part) => part !== null).map(asListed));
  return listed.filter((one) => !told.has(one.join(" "))).map(([seq]) => `record ${seq}`);
}

/** A record as a manifest lists it; null of what is no record. */
function asListed(part) {
  if (part.length !== 5 || part[0] !== "record" || !Number.isInteger(part[1])) return null;
  const [, seq, ident, previous, text] = part;
  const hashed = textHash(String(text));
  return [seq, hashed, textHash(`${previous}\n${seq}\n${ident}\n${hashed}`)].join(" ");
}

/** Whether the lines are those that are listed, no more, and in their order. */
function inOrder(parts, { records, photos }) {
  const named = [...records.map(([seq]) => ["record", seq]), ...photos.map(([n]) => ["photo", n])];
  return (
    parts.length === named.length &&
    named.every(([kind, name], at) => parts[at][0] === kind && parts[at][1] === name)
  );
}

function joinedBytes(...some) {
  const whole = new Uint8Array(some.reduce((sum, one) => sum + one.length, 0));
  let at = 0;
  for (const one of some) {
    whole.set(one, at);
    at += one.length;
  }
  return whole;
}

/** Whether the records and the proof lead to the root that the checkpoint names (RFC 9162). */
function leads(proof, listed, checkpoint) {
  const said = JSON.parse(checkpoint);
  const known = listed.map(([seq, , linked]) => [seq - 1, sha256(joinedBytes(LEAF, fromHex(linked)))]);
  const left = proof.map(fromHex);
  if (left.includes(null)) return false;
  const places = known.map(([at]) => at);
  if (places.some((at, i) => at < 0 || at >= said.size || at <= (places[i - 1] ?? -1))) return false;
  const root = rebuilt(0, said.size, known, left);
  return said.type === CHECKPOINT && root !== null && left.length === 0 && toHex(root) === said.root;
}

/** The root of the leaves from `start` to `end`; null where the proof is too short. */
function rebuilt(start, end, known, left) {
  if (start === end) return sha256(new Uint8Array());
  if (known.length === 0) return left.shift() ?? null;
  if (end - start === 1) return known[0][1];
  let half = 1;
  while (half * 2 < end - start) half *= 2;
  const first = known.filter(([at]) => at < start + half);
  const one = rebuilt(start, start + half, first, left);
  const two = rebuilt(start + half, end, known.slice(first.length), left);
  return one === null || two === null ? null : sha256(joinedBytes(NODE, one, two));
}

function photoFaults(parts, listed) {
  const told = new Set(parts.filter((part) => part !== null).map(pictureAsListed));
  return listed.filter((one) => !told.has(one.join(" "))).map(([name]) => `photo ${name}`);
}

/** A photo as a manifest lists it; null where it is not written as the product writes. */
function pictureAsListed([kind, name, text]) {
  if (kind !== "photo") return null;
  try {
    const content = Uint8Array.from(atob(text), (one) => one.charCodeAt(0));
    return btoa(atob(text)) === text ? `${name} ${toHex(sha256(content))}` : null;
  } catch {
    return null;
  }
}

/** Checks a whole file, its page included. */
function checkFile(bytes) {
  const text = new TextDecoder("latin1").decode(bytes);
  const start = text.indexOf(STARTS) + STARTS.length;
  const end = text.indexOf(ENDS, start);
  if (start < STARTS.length || end < 0) return { faults: ["shell"] };
  const around = toHex(sha256(joinedBytes(bytes.slice(0, start), bytes.slice(end))));
  return checkLines(new TextDecoder().decode(bytes.slice(start, end)), around);
}

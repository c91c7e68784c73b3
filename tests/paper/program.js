// Runs the page's program in Node, without a page: asked on standard input, answered on output.
import { readFileSync } from "node:fs";

const [, , ...files] = process.argv;
const source = files.map((file) => readFileSync(file, "utf-8")).join("\n");
const program = new Function(
  `"use strict"; ${source}; return { sha256, sha512, fromHex, toHex, signedBy, fingerprint, checkFile, checkLines };`,
)();
const asked = JSON.parse(readFileSync(0, "utf-8"));
const bytes = (text) => new Uint8Array(Buffer.from(text, "hex"));
const faultsOf = (content) => program.checkFile(content).faults;

/** The faults of a file with one bit turned, for each place and bit asked for. */
function bent({ file, bits }) {
  const content = new Uint8Array(readFileSync(file));
  return bits.map(([at, bit]) => {
    content[at] ^= 1 << bit;
    const faults = faultsOf(content);
    content[at] ^= 1 << bit;
    return faults;
  });
}

/** The faults of a file, and how many seconds of this process it took to find them. */
function timed({ file }) {
  const content = new Uint8Array(readFileSync(file));
  const before = process.cpuUsage();
  const { faults } = program.checkFile(content);
  const { user, system } = process.cpuUsage(before);
  return { faults, seconds: (user + system) / 1e6 };
}

const DO = {
  timed,
  sha256: ({ data }) => program.toHex(program.sha256(bytes(data))),
  sha512: ({ data }) => program.toHex(program.sha512(bytes(data))),
  signed: ({ key, message, signature }) =>
    program.signedBy(bytes(key), bytes(message), bytes(signature)),
  fingerprint: ({ key }) => program.fingerprint(bytes(key)),
  check: ({ file }) => program.checkFile(new Uint8Array(readFileSync(file))),
  bent,
};
console.log(JSON.stringify(asked.map((one) => DO[one.do](one))));

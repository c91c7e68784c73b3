/**
 * The phone's engine in Node, against an office that answers at an address.
 *
 *     node tools/run.js src/testing/drive.ts http://127.0.0.1:8000 SEED STEPS
 *
 * Whoever starts it answers, line by line, what it wants: codes to join by, a tested backup, that
 * backup brought back. At the end it tells what was written and what each phone holds.
 */
import { createInterface } from "node:readline";
import type { Fetch } from "../net/office";
import { Wire } from "../net/sync";
import { BATCHES, PLACE, Story, type Stage } from "./nursery";
import type { TestPhone } from "./phones";

const PHONES = 3;
const [url = "", seed = "1", steps = "30"] = process.argv.slice(2);
const answers = createInterface({ input: process.stdin })[Symbol.asyncIterator]();

async function want<T>(what: string): Promise<T> {
  process.stdout.write(`${JSON.stringify({ want: what })}\n`);
  const { value } = (await answers.next()) as { value: string };
  return JSON.parse(value) as T;
}

/** A browser's way of asking: it keeps the phone's cookie. */
function browser(): Fetch {
  let cookie = "";
  return async (path, init) => {
    const headers = { ...(init.headers as Record<string, string>), ...(cookie && { cookie }) };
    const response = await globalThis.fetch(`${url}${path}`, { ...init, headers });
    const [given] = response.headers.getSetCookie();
    if (given) cookie = given.split(";")[0] ?? "";
    return response;
  };
}

class Real implements Stage {
  readonly time = { now: Date.now() };
  readonly #browsers = Array.from({ length: PHONES }, browser);

  fetch(phone: number): Fetch {
    return (path, init) => {
      const ask = this.#browsers[phone];
      if (!ask) throw new Error(`no phone ${phone}`);
      return ask(path, init);
    };
  }

  async join(phone: TestPhone, number: number): Promise<void> {
    const code = await want<string>("code");
    const joined = await new Wire("2026.12.0", this.fetch(number)).enrol(code, phone.install);
    await phone.outbox.know({ install: phone.install, ...joined });
    await phone.round();
  }
}

async function held(phone: TestPhone): Promise<object> {
  const copy = await phone.copy();
  const states = await copy.states([...BATCHES, PLACE]);
  return {
    holds: await phone.holds(),
    cursor: await copy.cursor(),
    states: Object.fromEntries(states.map(({ id, state }) => [id, state])),
    waiting: (await phone.outbox.waiting()).count,
    outbox: (await phone.outbox.rows()).length,
  };
}

const story = new Story(new Real(), Number(seed));
await story.begin(PHONES);
for (const part of ["backup", "restore", "end"]) {
  for (let step = 0; step < Number(steps); step += 1) await story.step();
  if (part !== "end") await want(part);
}
await story.peace();
const written = story.phones.flatMap((phone) => phone.written);
const phones = await Promise.all(story.phones.map(held));
process.stdout.write(`${JSON.stringify({ want: "nothing", written, phones })}\n`, () => {
  process.exit(0);
});

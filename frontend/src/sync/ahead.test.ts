/** A round asks for the feed beside its first question, and reads it only once it may. */
import { beforeEach, expect, test } from "vitest";
import type { Fetch } from "../net/office";
import { TwinOffice } from "../testing/office";
import { TestPhone } from "../testing/phones";
import { LOSS } from "../testing/shelf";

let office: TwinOffice;
let other: TestPhone;
let phone: TestPhone;
/** What the phone asked, in order. */
let calls: string[];
/** What becomes of an answer to the ping, once all was asked that is asked beside it. */
let pinged: (answer: Response) => Response;
/** Of each pull, the signal that breaks it off. */
let pulls: (AbortSignal | null | undefined)[];

const fetched: Fetch = async (path, init) => {
  const where = path.replace(/^.*\/sync\//, "").split("?")[0] ?? "";
  calls.push(where);
  if (where === "pull") pulls.push(init.signal);
  const answer = await office.fetch(path, init);
  if (where !== "ping") return answer;
  await new Promise((done) => setTimeout(done, 50));
  calls.push("ping answered");
  return pinged(answer);
};

beforeEach(async () => {
  office = new TwinOffice();
  const time = { now: office.now };
  other = new TestPhone({ time, fetch: office.fetch });
  phone = new TestPhone({ time, fetch: fetched });
  await other.join();
  await phone.join();
  [calls, pulls, pinged] = [[], [], (answer) => answer];
  await phone.round();
  await otherWrites();
  [calls, pulls] = [[], []];
});

async function otherWrites(): Promise<void> {
  await other.write(LOSS);
  await other.round();
}

test("what waits is asked for before the ping is answered, and once", async () => {
  expect((await phone.round()).standing).toBe("calm");
  expect(calls).toEqual(["ping", "pull", "ping answered", "outlook"]);
  expect(await phone.holds()).toEqual(office.ids);
});

test("a phone that has something to send sends it first, and meets it again", async () => {
  await phone.write(LOSS);
  await phone.round();
  expect(calls.indexOf("pull")).toBeGreaterThan(calls.lastIndexOf("push"));
  expect(await phone.states()).toEqual(["seen"]);
});

test("a copy that is still empty is asked for once it is known whose book it is", async () => {
  const late = new TestPhone({ time: { now: office.now }, fetch: fetched });
  await late.join();
  calls = [];
  await late.round();
  expect(calls.indexOf("pull")).toBeGreaterThan(calls.indexOf("ping answered"));
});

test("of another book nothing is taken in: it is met as ever", async () => {
  office.restore(office.backUp());
  await otherWrites();
  calls = [];
  expect((await phone.round()).standing).toBe("calm");
  expect(calls.filter((where) => where === "pull").length).toBeGreaterThan(1);
  expect(await phone.holds()).toEqual(office.ids);
  expect((await (await phone.copy()).cursor())?.epoch).toBe(office.epoch);
});

test("where no office answers the ping, what was asked beside it is broken off", async () => {
  pinged = () => new Response("<html>", { headers: { "Content-Type": "text/html" } });
  expect((await phone.round()).standing).toBe("no_net");
  expect(pulls.map((signal) => signal?.aborted)).toEqual([true]);
  expect(await phone.holds()).toEqual([]);
});

test("whoever breaks the round off breaks it off as well", async () => {
  const until = new AbortController();
  pinged = (answer) => {
    until.abort();
    return answer;
  };
  await phone.round(until.signal);
  expect(pulls.map((signal) => signal?.aborted)).toEqual([true]);
});

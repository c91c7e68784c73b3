import { expect, test } from "vitest";
import type { FeedLine } from "../testing/office";
import { TwinOffice } from "../testing/office";
import { BATCHES, PLACE, Story, type Stage } from "../testing/nursery";

const SEEDS = Number(process.env["NURSERY_TEST_SEEDS"] ?? 12);
const STEPS = 60;

class Twin implements Stage {
  readonly office = new TwinOffice();
  readonly time = { now: this.office.now };
  backup: FeedLine[] = [];
  readonly fetch: Stage["fetch"] = () => (path, init) => {
    this.office.now = this.time.now;
    return this.office.fetch(path, init);
  };

  async join(phone: Parameters<Stage["join"]>[0]): Promise<void> {
    await phone.join(this.office.epoch);
    await phone.round();
  }

  readonly book = {
    backUp: () => {
      this.backup = this.office.backUp();
    },
    restore: () => {
      this.office.restore(this.backup);
    },
  };
}

test.each(Array.from({ length: SEEDS }, (_, i) => i + 1))(
  "requirements 3, 6 and 12: seed %i, bad links for weeks and wrong clocks, and nothing is lost",
  async (seed) => {
    const twin = new Twin();
    const story = new Story(twin, seed);
    await story.begin(3);
    for (let step = 0; step < STEPS; step += 1) {
      await story.step();
      await nothingIsDropped(story, twin);
    }
    await story.peace();
    const written = story.phones.flatMap((phone) => phone.written).map(idOf);
    expect(twin.office.raw).toEqual([]);
    expect([...twin.office.ids].sort()).toEqual([...written].sort());
    const states = await Promise.all(story.phones.map(statesOf));
    for (const phone of story.phones) {
      expect((await phone.holds()).sort()).toEqual([...written].sort());
      expect(await phone.outbox.waiting()).toEqual({ count: 0, oldest: null });
    }
    expect(new Set(states).size).toBe(1);
  },
  60_000,
);

/** What left an outbox is in a backup that was tested. */
async function nothingIsDropped({ phones }: Story, { backup }: Twin): Promise<void> {
  const safe = new Set(backup.map(({ id }) => id));
  for (const phone of phones) {
    const kept = new Set((await phone.outbox.rows()).map(({ id }) => id));
    const gone = phone.written.map(idOf).filter((id) => !kept.has(id));
    expect(gone.filter((id) => !safe.has(id))).toEqual([]);
  }
}

function idOf(text: string): string {
  return (JSON.parse(text) as { id: string }).id;
}

async function statesOf(phone: Story["phones"][number]): Promise<string> {
  return JSON.stringify(await (await phone.copy()).states([...BATCHES, PLACE]));
}

import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { Baton } from "./baton";
import type { Hub, News } from "./hub";

/** A lock that tabs wait for in a row, and that can be stolen, as browsers have it. */
class Locks {
  #holder: ((fault: Error) => void) | null = null;
  readonly #row: (() => void)[] = [];

  request(
    _name: string,
    { signal, steal, ifAvailable }: LockOptions,
    work: (lock: object | null) => Promise<void>,
  ): Promise<void> {
    if (ifAvailable && this.#holder) return work(null);
    if (steal) {
      this.#holder?.(new DOMException("stolen", "AbortError"));
      this.#holder = null;
    }
    return new Promise((done, fail) => {
      const begin = (): void => {
        if (signal?.aborted) {
          this.#next();
          return;
        }
        this.#holder = fail;
        void work({})
          .then(done, fail)
          .finally(() => {
            if (this.#holder === fail) this.#next();
          });
      };
      signal?.addEventListener("abort", () => {
        fail(new DOMException("aborted", "AbortError"));
      });
      if (this.#holder) this.#row.push(begin);
      else begin();
    });
  }

  #next(): void {
    this.#holder = null;
    this.#row.shift()?.();
  }
}

let locks: Locks;
let ends: { listener?: (news: News) => void; deaf: boolean }[];

beforeEach(() => {
  vi.useFakeTimers();
  locks = new Locks();
  ends = [];
});
afterEach(() => {
  vi.useRealTimers();
});

/** One end of the channel; a frozen tab is deaf and mute. */
function hub(): Hub & { deaf: boolean } {
  const end = { deaf: false } as (typeof ends)[number] & Hub;
  end.tell = (news) => {
    if (end.deaf) return;
    for (const other of ends) if (other !== end && !other.deaf) other.listener?.(news);
  };
  end.on = (listener) => {
    end.listener = listener;
  };
  ends.push(end);
  return end;
}

function tab() {
  const end = hub();
  const silent = vi.fn();
  const baton = new Baton(locks as unknown as LockManager, end, silent, () => Date.now());
  return { end, silent, baton };
}

/** Work that goes on until it is told to stop, and notes whether it was overtaken. */
function long(signal: AbortSignal, until: Promise<void>): Promise<void> {
  return Promise.race([
    until,
    new Promise<void>((done) => {
      signal.addEventListener("abort", () => {
        done();
      });
    }),
  ]);
}

describe("requirement 29: one sender among all tabs", () => {
  test("the next waits until the first is through, however long that takes", async () => {
    const [a, b] = [tab(), tab()];
    let finish = (): void => undefined;
    const first = a.baton.hold((signal) => long(signal, new Promise((done) => (finish = done))));
    const began = vi.fn();
    const second = b.baton.hold(() => Promise.resolve(began()));
    await vi.advanceTimersByTimeAsync(300_000);
    expect(began).not.toHaveBeenCalled();
    finish();
    await Promise.all([first, second]);
    expect(began).toHaveBeenCalledOnce();
    expect(b.silent).not.toHaveBeenCalled();
  });

  test("a frozen one is overtaken within 30 seconds, and broken off where it goes on", async () => {
    const [a, b] = [tab(), tab(), tab()];
    let overtaken = false;
    const first = a.baton.hold(async (signal) => {
      await long(signal, new Promise(() => undefined));
      overtaken = signal.aborted;
    });
    const failed = expect(first).rejects.toThrow("stolen");
    await vi.advanceTimersByTimeAsync(12_000);
    a.end.deaf = true;
    const frozenAt = Date.now();
    let sentAt = 0;
    b.silent.mockImplementation(() => {
      void b.baton.hold(() => {
        sentAt = Date.now();
        return Promise.resolve();
      });
    });
    await vi.advanceTimersByTimeAsync(30_000);
    await failed;
    expect(sentAt - frozenAt).toBeGreaterThan(0);
    expect(sentAt - frozenAt).toBeLessThanOrEqual(30_000);
    expect(overtaken).toBe(true);
  });

  test("a tab that was opened after the freezing does not wait for ever", async () => {
    const a = tab();
    void a.baton.hold(() => new Promise(() => undefined)).catch(() => undefined);
    a.end.deaf = true;
    await vi.advanceTimersByTimeAsync(60_000);
    const late = tab();
    const began = vi.fn();
    void late.baton.hold(() => Promise.resolve(began()));
    await vi.advanceTimersByTimeAsync(12_000);
    expect(began).toHaveBeenCalledOnce();
  });

  test("what fails lets go of it", async () => {
    const [a, b] = [tab(), tab()];
    await expect(a.baton.hold(() => Promise.reject(new Error("broken")))).rejects.toThrow("broken");
    const began = vi.fn();
    await b.baton.hold(() => Promise.resolve(began()));
    expect(began).toHaveBeenCalledOnce();
  });

  test("a browser without locks sends all the same", async () => {
    const began = vi.fn();
    await new Baton(undefined, hub(), vi.fn()).hold(() => Promise.resolve(began()));
    expect(began).toHaveBeenCalledOnce();
  });

  test("what is done only where nobody else is at it waits for nobody, and says nothing", async () => {
    const [a, b] = [tab(), tab()];
    const heard = vi.fn();
    ends.push({ listener: heard, deaf: false });
    const began = vi.fn(() => Promise.resolve());
    await a.baton.ifFree(new AbortController(), began);
    expect(began).toHaveBeenCalledOnce();
    expect(heard).not.toHaveBeenCalled();
    let finish = (): void => undefined;
    const first = a.baton.hold((signal) => long(signal, new Promise((done) => (finish = done))));
    await b.baton.ifFree(new AbortController(), began);
    expect(began).toHaveBeenCalledOnce();
    finish();
    await first;
  });

  test("it is broken off where the lock is taken from it, and needs none where there are none", async () => {
    const [a, b] = [tab(), tab()];
    const until = new AbortController();
    const glance = a.baton.ifFree(until, () => new Promise(() => undefined));
    const failed = expect(glance).rejects.toThrow("stolen");
    const began = vi.fn(() => Promise.resolve());
    void b.baton.hold(began);
    await vi.advanceTimersByTimeAsync(12_000);
    await failed;
    expect(until.signal.aborted).toBe(true);
    expect(began).toHaveBeenCalledOnce();
    await new Baton(undefined, hub(), vi.fn()).ifFree(new AbortController(), began);
    expect(began).toHaveBeenCalledTimes(2);
  });
});

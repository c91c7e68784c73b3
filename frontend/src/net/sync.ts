/**
 * Sending what was written here and fetching what others wrote.
 *
 * No clock of the phone decides anything; every step may be broken off and begun again.
 */
import type { Fetch } from "./office";
import { lines, packed, Patience, plain } from "./stream";

const API = "/api/v1/sync";
const PATIENCE_MS = 20_000;
const PING_MS = 5000;
const PAGE = 10_000;

/**
 * No answer of the office's API: no signal, or the page of a Wi-Fi portal. `slow`: it was asked,
 * and nothing whole came in time.
 */
export class NoNet extends Error {
  readonly slow: boolean;

  constructor(slow = false) {
    super(slow ? "no answer in time" : "no signal");
    this.slow = slow;
  }
}

/** The office answered with an error. */
export class Refused extends Error {
  readonly status: number;
  readonly code: string;
  readonly params: Readonly<Record<string, unknown>>;
  readonly retryAfterS: number | null;

  constructor(response: Response, body: Readonly<Record<string, unknown>>) {
    super(`${response.status}`);
    this.status = response.status;
    this.code = typeof body["code"] === "string" ? body["code"] : "server";
    this.params = (body["params"] ?? {}) as Record<string, unknown>;
    const after = Number(response.headers.get("Retry-After"));
    this.retryAfterS = Number.isFinite(after) && after > 0 ? after : null;
  }
}

export interface App {
  readonly min_pull: string;
  readonly current: string;
}

export interface Pong {
  /** Null where the office does not know this phone. */
  readonly epoch: string | null;
  readonly server_time: string;
  readonly shifted: boolean;
  readonly app: App;
}

export interface PushBody {
  readonly epoch: string;
  readonly install: string;
  readonly phone_time: string;
  readonly app: string;
  readonly persisted: boolean | null;
  readonly outbox: {
    readonly unsent: number;
    readonly n_max: number;
    readonly oldest: string | null;
    readonly photos: number;
    readonly photo_bytes: number;
  };
  readonly entries: readonly string[];
  /** How often a wrong PIN was typed on each tile of this install, ever. */
  readonly wrong_pins?: Readonly<Record<string, number>>;
}

export interface Receipt {
  readonly epoch: string;
  readonly server_time: string;
  readonly durable_seq: number;
  readonly results: readonly {
    readonly id: string;
    readonly status: string;
    readonly seq?: number;
    readonly code?: string;
    readonly ref?: string;
  }[];
  readonly holes: readonly (readonly [number, number])[];
  readonly head: { readonly seq: number; readonly hash: string };
  readonly app: App;
}

export interface Joined {
  readonly device: string;
  readonly nursery: { readonly id: string; readonly name: string; readonly zone: string };
  readonly epoch: string;
}

/** A page of the feed that was asked for before it was known whether it may be read. */
export interface Ahead {
  readonly after: string;
  readonly lines: AsyncIterable<string>;
  /** Break it off, as far as it has not come. */
  readonly drop: () => void;
}

interface Ask {
  readonly json?: object;
  /** A body that is no JSON. */
  readonly bytes?: ArrayBuffer;
  /** Whether the office unpacks it: it does so with a push alone. */
  readonly pack?: boolean;
  readonly headers?: Record<string, string>;
  readonly ms?: number;
}

/** The calls of the protocol over one way of fetching. */
export class Wire {
  readonly #fetch: Fetch;
  readonly #app: string;
  readonly #until: AbortSignal | undefined;

  constructor(app: string, fetcher: Fetch = fetch.bind(globalThis), until?: AbortSignal) {
    this.#app = app;
    this.#fetch = fetcher;
    this.#until = until;
  }

  /** The same calls, broken off when the signal says so. */
  until(signal: AbortSignal): Wire {
    return new Wire(this.#app, this.#fetch, signal);
  }

  /** Only an answer within five seconds means that there is signal. */
  async ping(): Promise<Pong> {
    const pong = await this.#json<Pong>("GET", "/ping", { ms: PING_MS });
    if (typeof pong.server_time !== "string" || !("epoch" in pong)) throw new NoNet();
    return pong;
  }

  enrol(code: string, install: string): Promise<Joined> {
    return this.#json("POST", "/enrol", { json: { code, install } });
  }

  async push(body: PushBody): Promise<Receipt> {
    const receipt = await this.#json<Receipt>("POST", "/push", { json: body, pack: true });
    if (receipt.results.length !== body.entries.length) throw new NoNet();
    return receipt;
  }

  async check(ids: readonly string[]): Promise<readonly string[]> {
    return (await this.#json<{ lack: string[] }>("POST", "/check", { json: { ids } })).lack;
  }

  /** The outlook, or null where it is the one whose tag is given. */
  async outlook(tag: string | null): Promise<{ tag: string | null; body: unknown } | null> {
    const headers = tag === null ? {} : { "If-None-Match": tag };
    return this.#ask("GET", "/outlook", { headers }, async (response) => {
      if (response.status === 304) return null;
      return { tag: response.headers.get("ETag"), body: await jsonOf(response) };
    });
  }

  /** The lines of a page of the feed; `after` empty for a snapshot. */
  async *pull(after: string): AsyncGenerator<string> {
    const query = after === "" ? "" : `?after=${encodeURIComponent(after)}&limit=${PAGE}`;
    const patience = new Patience(PATIENCE_MS, this.#until);
    try {
      const response = await this.#sent("GET", `/pull${query}`, {}, patience);
      if (!response.ok) throw await failure(response);
      if (!response.headers.get("Content-Type")?.includes("ndjson") || !response.body) {
        throw new NoNet();
      }
      // Every piece that comes is a reason to wait longer.
      for await (const line of lines(response.body, patience)) yield line;
    } catch (trouble) {
      throw known(trouble) ? trouble : new NoNet(patience.over);
    } finally {
      patience.end();
    }
  }

  /** The same, asked for at once: it is under way before anybody reads it, or nobody will. */
  ahead(after: string): Ahead {
    const over = new AbortController();
    const drop = (): void => {
      this.#until?.removeEventListener("abort", drop);
      over.abort();
    };
    this.#until?.addEventListener("abort", drop);
    const found = this.until(over.signal).pull(after);
    const first = found.next();
    first.catch(() => undefined);
    const lines = (async function* () {
      try {
        for (let at = await first; !at.done; at = await found.next()) yield at.value;
      } finally {
        drop();
      }
    })();
    return { after, lines, drop };
  }

  /** A call of another part of the protocol: its answer, without an error of the office's own. */
  call(method: string, address: string, ask: Ask): Promise<Response> {
    return this.#ask(method, address, ask, async (response) => {
      if (!response.ok && method !== "HEAD") throw await failure(response);
      return response;
    });
  }

  async #json<T>(method: string, path: string, ask: Ask): Promise<T> {
    return this.#ask(method, path, ask, async (response) => (await jsonOf(response)) as T);
  }

  async #ask<T>(
    method: string,
    path: string,
    ask: Ask,
    answer: (response: Response) => Promise<T>,
  ): Promise<T> {
    const patience = new Patience(ask.ms ?? PATIENCE_MS, this.#until);
    try {
      return await answer(await this.#sent(method, path, ask, patience));
    } catch (trouble) {
      throw known(trouble) ? trouble : new NoNet(patience.over);
    } finally {
      patience.end();
    }
  }

  async #sent(method: string, path: string, ask: Ask, patience: Patience): Promise<Response> {
    const text = ask.json ? JSON.stringify(ask.json) : null;
    const json = text === null ? null : ask.pack ? await packed(text) : plain(text);
    const body = ask.bytes ? { body: ask.bytes, headers: {} } : json;
    return this.#fetch(path.startsWith("/api/") ? path : `${API}${path}`, {
      method,
      headers: {
        Accept: "application/json, application/x-ndjson",
        "X-Sync": "1",
        "X-Protocol": "1",
        "X-App": this.#app,
        ...body?.headers,
        ...ask.headers,
      },
      cache: "no-store",
      signal: patience.signal,
      ...(body ? { body: body.body } : {}),
    });
  }
}

function known(trouble: unknown): boolean {
  return trouble instanceof NoNet || trouble instanceof Refused;
}

/** @throws NoNet where no JSON came, whatever the status says; Refused for an error of the API. */
async function jsonOf(response: Response): Promise<unknown> {
  if (!response.ok) throw await failure(response);
  if (!isJson(response)) throw new NoNet();
  return response.json();
}

/**
 * What an error means. Only the office itself, by its own words, can say that a phone must sign
 * in; a page of some portal cannot. Between the phone and the office there may be servers that
 * answer in their own words that they are too busy, or that this was too much.
 */
async function failure(response: Response): Promise<Error> {
  const { status } = response;
  if (isJson(response)) return new Refused(response, (await response.json()) as object as Problem);
  return status >= 500 || status === 413 || status === 429
    ? new Refused(response, {})
    : new NoNet();
}

type Problem = Readonly<Record<string, unknown>>;

function isJson(response: Response): boolean {
  return /\bjson\b/.test(response.headers.get("Content-Type") ?? "");
}

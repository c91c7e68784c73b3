/**
 * Sending what was written here and fetching what others wrote.
 *
 * No clock of the phone decides anything; every step may be broken off and begun again.
 */
import type { Fetch } from "./office";

const API = "/api/v1/sync";
const PATIENCE_MS = 20_000;

/** The office's answer was no answer of its API: no signal, or the page of a Wi-Fi portal. */
export class NoNet extends Error {}

/** The office answered with an error. */
export class Refused extends Error {
  readonly status: number;
  readonly code: string;
  readonly params: Readonly<Record<string, unknown>>;
  readonly retryAfterS: number | null;

  constructor(response: Response, body: Record<string, unknown>) {
    super(`${response.status}`);
    this.status = response.status;
    this.code = typeof body["code"] === "string" ? body["code"] : "server";
    this.params = (body["params"] ?? {}) as Record<string, unknown>;
    const after = Number(response.headers.get("Retry-After"));
    this.retryAfterS = Number.isFinite(after) && after > 0 ? after : null;
  }
}

export interface Pong {
  readonly epoch: string | null;
  readonly server_time: string;
  readonly shifted: boolean;
  readonly app: { readonly min_pull: string; readonly current: string };
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
  }[];
  readonly holes: readonly (readonly [number, number])[];
  readonly head: { readonly seq: number; readonly hash: string };
  readonly app: { readonly min_pull: string; readonly current: string };
}

export interface Joined {
  readonly device: string;
  readonly nursery: { readonly id: string; readonly name: string; readonly zone: string };
  readonly epoch: string;
}

/** The calls of the protocol over one way of fetching. */
export class Wire {
  readonly #fetch: Fetch;
  readonly #app: string;

  constructor(app: string, fetcher: Fetch = fetch.bind(globalThis)) {
    this.#app = app;
    this.#fetch = fetcher;
  }

  ping(): Promise<Pong> {
    return this.#json("GET", "/ping", undefined, 5000);
  }

  enrol(code: string, install: string): Promise<Joined> {
    return this.#json("POST", "/enrol", { code, install });
  }

  push(body: PushBody): Promise<Receipt> {
    return this.#json("POST", "/push", body);
  }

  async check(ids: readonly string[]): Promise<readonly string[]> {
    return (await this.#json<{ lack: string[] }>("POST", "/check", { ids })).lack;
  }

  /** The outlook, or null where it is the one whose tag is given. */
  async outlook(tag: string | null): Promise<{ tag: string | null; body: unknown } | null> {
    const headers = tag === null ? {} : { "If-None-Match": tag };
    const response = await this.#ask("GET", "/outlook", undefined, PATIENCE_MS, headers);
    if (response.status === 304) return null;
    return { tag: response.headers.get("ETag"), body: await jsonOf(response) };
  }

  /** The lines of a page of the feed; `after` empty for a snapshot. */
  async *pull(after: string): AsyncGenerator<string> {
    const query = after === "" ? "" : `?after=${encodeURIComponent(after)}`;
    const response = await this.#ask("GET", `/pull${query}`, undefined, 120_000);
    if (!response.ok) throw new Refused(response, await problemOf(response));
    if (!response.headers.get("Content-Type")?.includes("ndjson") || !response.body) {
      throw new NoNet();
    }
    const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
    let rest = "";
    for (;;) {
      const { done, value } = await reader.read().catch(() => {
        throw new NoNet();
      });
      if (done) break;
      const lines = (rest + value).split("\n");
      rest = lines.pop() ?? "";
      yield* lines;
    }
    if (rest !== "") yield rest;
  }

  async #json<T>(method: string, path: string, body?: object, ms = PATIENCE_MS): Promise<T> {
    return (await jsonOf(await this.#ask(method, path, body, ms))) as T;
  }

  async #ask(
    method: string,
    path: string,
    body: object | undefined,
    ms: number,
    more: Record<string, string> = {},
  ): Promise<Response> {
    try {
      return await this.#fetch(`${API}${path}`, {
        method,
        headers: {
          Accept: "application/json, application/x-ndjson",
          "X-Sync": "1",
          "X-Protocol": "1",
          "X-App": this.#app,
          ...(body ? { "Content-Type": "application/json" } : {}),
          ...more,
        },
        cache: "no-store",
        signal: AbortSignal.timeout(ms),
        ...(body ? { body: JSON.stringify(body) } : {}),
      });
    } catch {
      throw new NoNet();
    }
  }
}

/** @throws NoNet where no JSON came, whatever the status says; Refused for an error of the API. */
async function jsonOf(response: Response): Promise<unknown> {
  if (!response.ok) throw new Refused(response, await problemOf(response));
  if (!/\bjson\b/.test(response.headers.get("Content-Type") ?? "")) throw new NoNet();
  try {
    return await response.json();
  } catch {
    throw new NoNet();
  }
}

async function problemOf(response: Response): Promise<Record<string, unknown>> {
  try {
    return (await response.json()) as Record<string, unknown>;
  } catch {
    return {};
  }
}

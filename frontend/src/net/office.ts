/** Asking the office. Whatever goes wrong is a value: a screen says it in words. */

export type Fetch = (path: string, init: RequestInit) => Promise<Response>;

/** Why there is no fresh answer. `code` is the office's own word for it, `detail` its sentence. */
export type Trouble =
  | { readonly why: "offline" }
  | { readonly why: "signed_out" }
  | { readonly why: "missing" }
  | {
      readonly why: "trouble";
      readonly code: string;
      readonly detail: string | null;
      /** What it is about: the field that was turned down, and its value. */
      readonly params?: Readonly<Record<string, unknown>>;
    };

export type Answer<T> =
  { readonly ok: true; readonly data: T } | { readonly ok: false; readonly trouble: Trouble };

export type Method = "POST" | "PUT" | "DELETE";

export interface Office {
  /** Asked for longer than usual where `ms` says so: some answers have to be worked out. */
  readonly get: <T>(path: string, ms?: number) => Promise<Answer<T>>;
  readonly send: <T>(
    method: Method,
    path: string,
    body?: object,
    ms?: number,
  ) => Promise<Answer<T>>;
  /** Give the office a file, or a slice of one, as it is. */
  readonly give: <T>(method: Method, path: string, file: Blob, type?: string) => Promise<Answer<T>>;
  readonly print: (path: string, body: object) => Promise<Answer<Blob>>;
}

const PATIENCE_MS = 15_000;
// Many years of days take a while to send and to look at.
const OF_A_FILE_MS = 120_000;
const PDF = "application/pdf";

export function office(language: string, fetcher: Fetch = fetch.bind(globalThis)): Office {
  /** Never throws; a page of a Wi-Fi portal counts as no signal. */
  async function reach(path: string, init: RequestInit): Promise<Response | null> {
    try {
      return await fetcher(path, { signal: AbortSignal.timeout(PATIENCE_MS), ...init });
    } catch {
      return null;
    }
  }

  async function ask<T>(path: string, init: RequestInit): Promise<Answer<T>> {
    const response = await reach(path, init);
    if (!response) return failed({ why: "offline" });
    if (response.status === 204) return { ok: true, data: undefined as T };
    const body = await json(response);
    if (response.ok && body !== undefined) return { ok: true, data: body as T };
    return failed(body === undefined ? unread(response) : refused(response.status, body));
  }

  /** A file that the office makes of what it is told, or why it does not. */
  async function file(path: string, init: RequestInit): Promise<Answer<Blob>> {
    const response = await reach(path, init);
    if (!response) return failed({ why: "offline" });
    const kind = response.headers.get("Content-Type") ?? "";
    if (response.ok && kind.startsWith(PDF)) return { ok: true, data: await response.blob() };
    const body = await json(response);
    return failed(body === undefined ? unread(response) : refused(response.status, body));
  }

  const headers = { Accept: "application/json", "Accept-Language": language };
  const telling = (method: Method, body?: object): RequestInit =>
    carrying(method, body ? JSON.stringify(body) : undefined, headers, "application/json");
  return {
    get: (path, ms) => ask(path, patient({ headers }, ms)),
    send: (method, path, body, ms) => ask(path, patient(telling(method, body), ms)),
    give: (method, path, body, type = "text/csv") =>
      ask(path, patient(carrying(method, body, headers, type), OF_A_FILE_MS)),
    print: (path, body) => file(path, telling("POST", body)),
  };
}

function patient(init: RequestInit, ms?: number): RequestInit {
  return ms === undefined ? init : { ...init, signal: AbortSignal.timeout(ms) };
}

/** A change: who asks for it is known by what no other site can send. */
function carrying(
  method: Method,
  body: BodyInit | undefined,
  headers: Readonly<Record<string, string>>,
  type: string,
): RequestInit {
  const all = { ...headers, ...OURS, ...token(), "Content-Type": type };
  return body === undefined ? { method, headers: all } : { method, headers: all, body };
}

// A header that no form of another site can send.
const OURS = { "X-Sync": "1" };

/** The token that a signed-in person's changes carry. */
function token(): Record<string, string> {
  const cookies = typeof document === "undefined" ? "" : document.cookie;
  const found = /(?:^|; )nursery_csrf=([^;]+)/.exec(cookies);
  return found?.[1] ? { "X-CSRFToken": found[1] } : {};
}

function failed(trouble: Trouble): { ok: false; trouble: Trouble } {
  return { ok: false, trouble };
}

async function json(response: Response): Promise<unknown> {
  if (!/\bjson\b/.test(response.headers.get("Content-Type") ?? "")) return undefined;
  try {
    return (await response.json()) as unknown;
  } catch {
    return undefined;
  }
}

/** No JSON came: a portal's page, which says that all is well, or the server's own. */
function unread(response: Response): Trouble {
  if (response.ok || response.redirected) return { why: "offline" };
  return refused(response.status, {});
}

function refused(status: number, body: unknown): Trouble {
  if (status === 401) return { why: "signed_out" };
  if (status === 404) return { why: "missing" };
  const { code, detail, params } = body as { code?: unknown; detail?: unknown; params?: unknown };
  return {
    why: "trouble",
    code: typeof code === "string" ? code : String(status),
    detail: typeof detail === "string" ? detail : null,
    ...(isNamed(params) ? { params } : {}),
  };
}

function isNamed(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && Object.keys(value).length > 0;
}

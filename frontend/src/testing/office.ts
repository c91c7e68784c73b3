/**
 * An office in memory that answers as the real one does, for tests of the phone's side.
 *
 * `tests/phone_sync/` runs the same phone against the real one.
 */
import { createHash } from "node:crypto";
import { gunzipSync } from "node:zlib";
import type { Fetch } from "../net/office";
import type { PushBody } from "../net/sync";

export interface FeedLine {
  readonly t: "entry" | "ref" | "gone" | "mark";
  readonly type: string;
  readonly id: string;
  /** What stands at `e`: the text of an entry as it was sent; empty once it was erased. */
  text: string;
  readonly aside: boolean;
}

interface Outcome {
  id: string;
  status: string;
  seq?: number;
  code?: string;
  ref?: string;
}

const DAY_MS = 86_400_000;
const LONGEST = 64 * 1024;

export class TwinOffice {
  epoch = "e1";
  now: number;
  durable = 0;
  /** The oldest app that may pull. */
  minPull = "2026.11.0";
  known = true;
  revoked = false;
  feed: FeedLine[] = [];
  readonly raw: string[] = [];
  readonly calls: string[] = [];
  readonly #came = new Map<string, Set<number>>();
  #epochs = 1;

  constructor(now = Date.parse("2031-03-03T02:00:00.000Z")) {
    this.now = now;
  }

  /** Ids of all entries in the book, in the order of the feed. */
  get ids(): string[] {
    return this.feed.filter(({ t }) => t === "entry").map(({ id }) => id);
  }

  get texts(): string[] {
    return this.feed.filter(({ t }) => t === "entry").map(({ text }) => text);
  }

  row(type: string, id: string, body: object): void {
    this.feed.push({ t: "ref", type, id, text: JSON.stringify(body), aside: false });
  }

  gone(type: string, id: string): void {
    this.feed.push({ t: "gone", type, id, text: "", aside: false });
  }

  release(id: string): void {
    this.feed.push({ t: "mark", type: "release", id, text: '{"why":"day_came"}', aside: false });
  }

  /** A disk forgot this entry. */
  drop(id: string): void {
    const found = this.feed.find((line) => line.id === id);
    if (!found) throw new Error(`no entry ${id}`);
    const { install, n } = JSON.parse(found.text) as { install: string; n: number };
    this.#came.get(install)?.delete(n);
    this.feed = this.feed.filter((line) => line !== found);
  }

  /** A backup that was tested: phones may forget what it holds. */
  backUp(): FeedLine[] {
    this.durable = this.feed.length;
    return [...this.feed];
  }

  restore(feed: readonly FeedLine[]): void {
    this.#epochs += 1;
    this.epoch = `e${this.#epochs}`;
    this.feed = [...feed];
    this.durable = 0;
    this.#came.clear();
    for (const text of this.texts) if (text !== "") this.#note(text);
  }

  /** The way in, as a phone asks. */
  readonly fetch: Fetch = (path, init) => {
    const [where = "", query = ""] = path.replace("/api/v1/sync/", "").split("?");
    this.calls.push(where);
    return Promise.resolve(this.#answer(where, new URLSearchParams(query), init));
  };

  #answer(where: string, query: URLSearchParams, init: RequestInit): Response {
    if (where === "ping") return json(this.#pong());
    if (where === "enrol") return json({ device: "d-1", nursery: NURSERY, epoch: this.epoch }, 201);
    if (!this.known) return problem(401, "sign_in");
    if (this.revoked) return problem(403, "device_revoked");
    if (where === "push") return this.#push(bodyOf(init) as PushBody);
    if (where === "check" && typeof init.body !== "string") return problem(400, "body_unreadable");
    if (where === "check")
      return json({ lack: this.#lack((bodyOf(init) as { ids: string[] }).ids) });
    if (where === "outlook") return json({ as_of_seq: this.feed.length, checks: [] });
    const app = (init.headers as Record<string, string>)["X-App"] ?? "";
    if (app < this.minPull) return problem(426, "update_first");
    return this.#pull(query.get("after") ?? "", Number(query.get("limit") ?? 2000));
  }

  #pong(): object {
    const epoch = this.known ? this.epoch : null;
    return { epoch, server_time: this.#time(), shifted: false, app: this.#app() };
  }

  #push(body: PushBody): Response {
    if (body.epoch !== this.epoch) return this.#other();
    if (body.entries.length > 200) return problem(413, "too_big");
    const results = body.entries.map((text) => this.#take(text));
    const holes = this.#holes(body);
    return json({
      epoch: this.epoch,
      server_time: this.#time(),
      durable_seq: this.durable,
      results,
      holes,
      head: { seq: this.feed.length, hash: "" },
      app: this.#app(),
    });
  }

  #take(text: string): Outcome {
    const entry = parsed(text);
    if (!entry || text.length > LONGEST) {
      this.raw.push(text);
      return { id: entry?.id ?? "", status: "kept_raw", code: entry ? "too_long" : "unreadable" };
    }
    this.#note(text);
    const at = this.feed.findIndex(({ t, id }) => t === "entry" && id === entry.id);
    if (at >= 0) {
      if (this.feed[at]?.text === text) return { id: entry.id, status: "known", seq: at + 1 };
      this.raw.push(text);
      return { id: entry.id, status: "kept_raw", code: "id_reused", ref: hash(text).slice(0, 16) };
    }
    const aside = Date.parse(entry.occurred_at) > this.now + DAY_MS;
    this.feed.push({ t: "entry", type: "", id: entry.id, text, aside });
    const seq = this.feed.length;
    return aside
      ? { id: entry.id, status: "set_aside", seq, code: "future" }
      : { id: entry.id, status: "stored", seq };
  }

  #note(text: string): void {
    const { install, n } = JSON.parse(text) as { install: string; n: number };
    const came = this.#came.get(install) ?? new Set();
    this.#came.set(install, came.add(n));
  }

  #holes({ install, outbox, entries }: PushBody): [number, number][] {
    const came = this.#came.get(install) ?? new Set();
    const whole = outbox.unsent <= entries.length;
    const highest = whole ? outbox.n_max : Math.max(0, ...came);
    const holes: [number, number][] = [];
    for (let n = 1; n <= highest; n += 1) if (!came.has(n)) holes.push([n, n]);
    return holes;
  }

  #lack(ids: readonly string[]): string[] {
    const has = new Set(this.ids);
    return ids.filter((id) => !has.has(id) && !this.raw.some((text) => text.includes(id)));
  }

  #pull(after: string, limit: number): Response {
    const [epoch, at = "0"] = after.split(":");
    const seq = Number(at);
    if (after !== "" && (epoch !== this.epoch || seq > this.feed.length)) return this.#other();
    const head = this.feed.length;
    const begin = { t: "begin", epoch: this.epoch, after: seq, head, server_time: this.#time() };
    const from = after === "" ? 0 : seq;
    const until = after === "" ? head : Math.min(head, from + limit);
    const lines = this.feed.slice(from, until).map((line, i) => written(line, from + i + 1));
    // A snapshot tells of rows and of marks, and of what is about somebody who is still there.
    const end = {
      t: "end",
      next: `${this.epoch}:${until}`,
      more: until < head,
      count: lines.length,
    };
    const all = [JSON.stringify(begin), ...lines, JSON.stringify({ ...end, hash: "" }), ""];
    return new Response(all.join("\n"), { headers: { "Content-Type": "application/x-ndjson" } });
  }

  #other(): Response {
    return problem(409, "epoch_changed", { epoch: this.epoch });
  }

  #time(): string {
    return new Date(this.now).toISOString();
  }

  #app(): object {
    return { min_pull: this.minPull, current: "2026.12.0" };
  }
}

export const NURSERY = { id: "veshmere", name: "Veshmere Terraces", zone: "Etc/GMT-10" };

export function problem(status: number, code: string, params: object = {}, after = 0): Response {
  return json({ type: "about:blank", status, code, params, detail: code }, status, after);
}

/** The page of a Wi-Fi portal, which says that all is well. */
export function portal(status = 200): Response {
  return new Response("<!doctype html><title>Welcome</title>", {
    status,
    headers: { "Content-Type": "text/html" },
  });
}

function json(body: object, status = 200, after = 0): Response {
  const media = status < 400 ? "application/json" : "application/problem+json";
  const headers = { "Content-Type": media, ...(after ? { "Retry-After": `${after}` } : {}) };
  return new Response(JSON.stringify(body), { status, headers });
}

function written({ t, type, id, text, aside }: FeedLine, seq: number): string {
  const named = `"id":${JSON.stringify(id)}${t === "entry" && text ? "" : `,"hash":"${hash(text)}"`}`;
  const e = `"e":${text || "null"}`;
  if (t === "entry") {
    return `{"t":"entry","seq":${seq},${named}${aside ? ',"set_aside":true' : ""},${e}}`;
  }
  if (t === "gone") return `{"t":"gone","seq":${seq},"type":"${type}",${named},"why":"deleted"}`;
  const rev = t === "ref" ? `,"rev":${seq}` : "";
  return `{"t":"${t}","seq":${seq},"type":"${type}",${named}${rev},${e}}`;
}

function hash(text: string): string {
  return createHash("sha256").update(text).digest("hex");
}

function parsed(text: string): { id: string; occurred_at: string } | null {
  try {
    const entry = JSON.parse(text) as { id?: string; occurred_at?: string };
    return entry.id && entry.occurred_at ? { id: entry.id, occurred_at: entry.occurred_at } : null;
  } catch {
    return null;
  }
}

export function bodyOf({ body }: RequestInit): unknown {
  const bytes = body as string | ArrayBuffer;
  if (typeof bytes === "string") return JSON.parse(bytes);
  return JSON.parse(gunzipSync(Buffer.from(bytes)).toString());
}

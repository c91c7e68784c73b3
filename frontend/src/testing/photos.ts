import { createHash } from "node:crypto";
import { problem } from "./office";

/** The part of the office that takes photos, by tus, in memory. */
export class PhotoDesk {
  readonly came = new Map<string, { bytes: Uint8Array; length: number }>();
  readonly kept = new Map<string, Uint8Array>();
  /** Bytes that went over the air, whether they counted or not. */
  bytes = 0;
  readonly calls: string[] = [];
  /** What lies in a tested backup. */
  readonly safe = new Set<string>();
  /** How many photos were named each time that a phone asked for it. */
  readonly asked: number[] = [];

  answer(method: string, path: string, init: RequestInit): Response {
    if (path.endsWith("/sync/photos")) return this.#held(init);
    this.calls.push(method);
    const headers = new Headers(init.headers);
    if (headers.get("Tus-Resumable") !== "1.0.0") return problem(412, "tus_version");
    if (method === "POST") return this.#begin(headers);
    const name = path.split("/").at(-1) ?? "";
    const whole = this.kept.get(name);
    const part = this.came.get(name);
    const offset = whole?.length ?? part?.bytes.length;
    if (offset === undefined) return bare(404);
    if (method === "HEAD") return bare(200, offset);
    if (Number(headers.get("Upload-Offset")) !== offset || !part) {
      return problem(409, "offset_differs", { offset });
    }
    const piece = new Uint8Array(init.body as ArrayBuffer);
    const sum = createHash("sha256").update(piece).digest("base64");
    if (headers.get("Upload-Checksum") !== `sha256 ${sum}`) return problem(460, "checksum_differs");
    return this.#grown(name, part.length, Buffer.concat([part.bytes, piece]));
  }

  #held(init: RequestInit): Response {
    const { sha256 } = JSON.parse(init.body as string) as { sha256: string[] };
    this.asked.push(sha256.length);
    const safe = sha256.filter((one) => this.safe.has(one));
    return new Response(JSON.stringify({ safe }), {
      headers: { "Content-Type": "application/json" },
    });
  }

  #begin(headers: Headers): Response {
    const told = headers.get("Upload-Metadata") ?? "";
    const name = atob(/sha256 (\S+)/.exec(told)?.[1] ?? "");
    const length = Number(headers.get("Upload-Length"));
    const whole = this.kept.get(name);
    if (whole) return bare(200, whole.length);
    const part = this.came.get(name) ?? { bytes: new Uint8Array(), length };
    this.came.set(name, part);
    return bare(201, part.bytes.length);
  }

  #grown(name: string, length: number, bytes: Uint8Array): Response {
    this.came.set(name, { bytes, length });
    if (bytes.length < length) return bare(204, bytes.length);
    this.came.delete(name);
    if (hashOf(bytes) !== name) return problem(460, "checksum_differs");
    this.kept.set(name, bytes);
    return bare(204, length);
  }
}

export function bare(status: number, offset?: number): Response {
  const where = offset === undefined ? {} : { "Upload-Offset": String(offset) };
  return new Response(null, { status, headers: { "Tus-Resumable": "1.0.0", ...where } });
}

export function hashOf(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}

/** Numbers that are the same in each run. */
export function seeded(seed: number): () => number {
  let state = seed;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** Photos by tus 1.0: begun under the hash of the whole, sent slice by slice. */
import { NoNet, Refused, type Wire } from "./sync";

const PLACE = "/api/v1/uploads";
const SAFE = "/api/v1/sync/photos";
const SLICE = "application/offset+octet-stream";
/** A slice over a poor link. */
const PATIENCE_MS = 60_000;

/** What the office must know of a photo before its bytes come. */
export interface Announced {
  readonly id: string;
  readonly sha256: string;
  readonly bytes: number;
}

export class Uploads {
  readonly #wire: Wire;

  constructor(wire: Wire) {
    this.#wire = wire;
  }

  /** Begin a photo; how far it has come already. */
  async begin({ id, sha256, bytes }: Announced): Promise<number> {
    const told = `photo ${btoa(id)},sha256 ${btoa(sha256)}`;
    const headers = { "Upload-Length": String(bytes), "Upload-Metadata": told };
    return this.#ask("POST", PLACE, headers);
  }

  /** How far it has come. */
  async at(sha256: string): Promise<number> {
    return this.#ask("HEAD", `${PLACE}/${sha256}`, {});
  }

  /** Which of these lie in a tested backup of the office. */
  async safe(digests: readonly string[]): Promise<readonly string[]> {
    const response = await this.#wire.call("POST", SAFE, { json: { sha256: digests } });
    const type = response.headers.get("Content-Type") ?? "";
    if (!response.ok || !type.includes("json")) throw new NoNet();
    const { safe } = (await response.json()) as { safe?: unknown };
    return Array.isArray(safe) ? safe.filter((one) => typeof one === "string") : [];
  }

  /** Send the next slice; how far the photo has come with it. */
  async append(sha256: string, offset: number, piece: Blob): Promise<number> {
    const body = await piece.arrayBuffer();
    const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", body));
    const headers = {
      "Content-Type": SLICE,
      "Upload-Offset": String(offset),
      "Upload-Checksum": `sha256 ${btoa(String.fromCharCode(...sum))}`,
    };
    return this.#ask("PATCH", `${PLACE}/${sha256}`, headers, body);
  }

  /** @throws NoNet, Refused */
  async #ask(
    method: string,
    address: string,
    more: Record<string, string>,
    body?: ArrayBuffer,
  ): Promise<number> {
    const headers = { "Tus-Resumable": "1.0.0", ...more };
    const ask = { headers, ms: PATIENCE_MS, ...(body ? { bytes: body } : {}) };
    const response = await this.#wire.call(method, address, ask);
    // A page of some portal knows nothing of offsets.
    const offset = response.headers.get("Upload-Offset");
    if (response.ok && offset !== null) return Number(offset);
    // The answer to a HEAD has no words, only a number.
    if (response.headers.has("Tus-Resumable")) throw new Refused(response, {});
    throw new NoNet();
  }
}

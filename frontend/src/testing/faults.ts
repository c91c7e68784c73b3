/** A bad link, played from a seed: the same seed breaks the same calls in the same way. */
import type { Fetch } from "../net/office";
import { portal, problem } from "./office";

/** A small generator of chance (mulberry32): numbers in [0, 1) from a seed. */
export function chance(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

export function pick<T>(random: () => number, list: readonly T[]): T {
  return list[Math.floor(random() * list.length)] as T;
}

/** What may become of a call. `cut` gives a part of the answer and breaks. */
export const FAULTS = [
  ...(["lost", "unanswered", "twice", "cut", "portal", "portal_forbids", "gateway"] as const),
  ...(["server", "later", "sign_in", "too_big", "bad_envelope"] as const),
] as const;
export type LinkFault = (typeof FAULTS)[number];

/** A link on which each call fares as `fate` says; null lets it pass. */
export function badLink(
  fetch: Fetch,
  fate: (path: string) => LinkFault | null,
  random: () => number,
): Fetch {
  return async (path, init) => {
    const fault = fate(path);
    switch (fault) {
      case "lost":
        throw new TypeError("Failed to fetch");
      case "unanswered":
        await (await fetch(path, init)).arrayBuffer();
        throw new TypeError("network error");
      case "twice":
        await (await fetch(path, init)).arrayBuffer();
        return fetch(path, init);
      case "cut":
        return cut(await fetch(path, init), random());
      case "portal":
        return portal();
      case "portal_forbids":
        return portal(403);
      case "gateway":
        return portal(502);
      case "server":
        return problem(500, "server");
      case "later":
        return problem(503, "later", {}, 5);
      case "sign_in":
        return problem(401, "sign_in");
      case "too_big":
        return problem(413, "too_big");
      case "bad_envelope":
        return problem(400, "bad_envelope");
      case null:
        return fetch(path, init);
    }
  };
}

async function cut(response: Response, share: number): Promise<Response> {
  const bytes = new Uint8Array(await response.arrayBuffer());
  const some = bytes.slice(0, Math.floor(bytes.length * share));
  let sent = false;
  const body = new ReadableStream<Uint8Array>({
    pull: (control) => {
      if (sent) control.error(new TypeError("network error"));
      else control.enqueue(some);
      sent = true;
    },
  });
  const { status, headers } = response;
  return new Response(status === 304 ? null : body, { status, headers });
}

/** Bytes on their way: how long to wait for them, how to pack them, how to read them line by line. */

/** A time limit that begins anew whenever something comes. `over` says that it has run out. */
export class Patience {
  readonly #control = new AbortController();
  readonly #ms: number;
  readonly #until: AbortSignal | undefined;
  #timer: ReturnType<typeof setTimeout> | undefined;
  over = false;

  constructor(ms: number, until?: AbortSignal) {
    this.#ms = ms;
    this.#until = until;
    if (until?.aborted) this.#stop();
    until?.addEventListener("abort", this.#stop);
    this.renew();
  }

  get signal(): AbortSignal {
    return this.#control.signal;
  }

  renew(): void {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      this.over = true;
      this.#stop();
    }, this.#ms);
  }

  end(): void {
    clearTimeout(this.#timer);
    this.#until?.removeEventListener("abort", this.#stop);
  }

  readonly #stop = (): void => {
    this.#control.abort();
  };
}

export interface Packed {
  readonly body: ArrayBuffer | string;
  readonly headers: Record<string, string>;
}

// A packet on the air holds so much; packing less saves nothing.
const WORTH_PACKING = 1400;

/** JSON for a request's body. */
export function plain(json: string): Packed {
  return { body: json, headers: { "Content-Type": "application/json" } };
}

/** The same, packed where the browser can and where it saves something. */
export async function packed(json: string): Promise<Packed> {
  const { body: text, headers } = plain(json);
  if (typeof CompressionStream === "undefined" || json.length < WORTH_PACKING) {
    return { body: text, headers };
  }
  const stream = new Blob([json]).stream().pipeThrough(new CompressionStream("gzip"));
  const body = await new Response(stream).arrayBuffer();
  return { body, headers: { ...headers, "Content-Encoding": "gzip" } };
}

/** The lines of a stream of text, as they come. */
export async function* lines(
  body: ReadableStream<Uint8Array>,
  patience: Patience,
): AsyncGenerator<string> {
  const reader = body.getReader();
  const decoder = new TextDecoder();
  let rest = "";
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) break;
      patience.renew();
      const found = (rest + decoder.decode(value, { stream: true })).split("\n");
      rest = found.pop() ?? "";
      yield* found;
    }
    rest += decoder.decode();
    if (rest !== "") yield rest;
  } finally {
    await reader.cancel().catch(() => undefined);
  }
}

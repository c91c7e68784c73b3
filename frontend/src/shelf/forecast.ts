/**
 * The outlook as the copy keeps it: in parts, since a page that read all of it at once would stand
 * still for as long as that takes. Builds before this one kept it whole.
 */
import type { Copy } from "./copy";

interface Body {
  readonly batches?: Readonly<Record<string, unknown>>;
}

export interface Forecast {
  readonly tag: string | null;
  readonly at: string;
  readonly body: unknown;
}

/** `parts`: how many there are beside; of an older build `body` instead, all of it. */
interface Head extends Partial<Forecast> {
  readonly parts?: number;
}

const KEY = "outlook";
/** Characters of one part: a slow phone reads it between two frames. */
const PART = 60_000;

/** The tag of the outlook that is kept; null of none, or where the office gave it none. */
export async function tagOf(copy: Copy): Promise<string | null> {
  return (await copy.told<Head>(KEY))?.tag ?? null;
}

export async function keepForecast(copy: Copy, { tag, at, body }: Forecast): Promise<void> {
  const before = (await copy.told<Head>(KEY))?.parts ?? 0;
  const parts: (string | null)[] = partsOf(body);
  const head: Head = { tag, at, parts: parts.length };
  while (parts.length < before) parts.push(null);
  await copy.tellAll([[KEY, head], ...parts.map((part, i) => [partKey(i), part] as const)]);
}

/**
 * The outlook that is kept, all of it as it stood at one moment.
 *
 * @param inTurn ask for a part once the one before is read: a page does other things in between,
 *   and has it later.
 */
export async function forecast(copy: Copy, inTurn = false): Promise<Forecast | null> {
  return copy.tellings((told) => forecastIn(told, inTurn));
}

/** The same in a transaction that reads other things as well. */
export async function forecastIn(
  told: (key: string) => Promise<unknown>,
  inTurn = false,
): Promise<Forecast | null> {
  const head = (await told(KEY)) as Head | undefined;
  if (!head) return null;
  const { tag = null, at = "", parts, body } = head;
  if (parts === undefined) return { tag, at, body };
  const read: Promise<Body | null>[] = [];
  for (let i = 0; i < parts; i += 1) {
    const one = told(partKey(i)).then(parsed);
    read.push(one);
    if (inTurn) await one;
  }
  const [first, ...more] = await Promise.all(read);
  const batches = more.map((part) => part?.batches ?? {});
  return { tag, at, body: more.length === 0 ? first : { ...first, batches: joined(batches) } };
}

function partKey(number: number): string {
  return `${KEY} ${number}`;
}

function parsed(part: unknown): Body | null {
  return JSON.parse(part as string) as Body | null;
}

function joined(some: readonly object[]): object {
  return Object.assign({}, ...some) as object;
}

/** The first part is everything but the batches; the others are some batches each. */
function partsOf(body: unknown): string[] {
  const { batches, ...rest } = (body ?? {}) as Body;
  if (batches === undefined) return [JSON.stringify(body)];
  const parts = [JSON.stringify({ ...rest, batches: {} })];
  let some: string[] = [];
  let size = 0;
  const end = (): void => {
    if (some.length > 0) parts.push(`{"batches":{${some.join(",")}}}`);
    [some, size] = [[], 0];
  };
  for (const [id, batch] of Object.entries(batches)) {
    const text = `${JSON.stringify(id)}:${JSON.stringify(batch)}`;
    if (size + text.length > PART) end();
    some.push(text);
    size += text.length;
  }
  end();
  return parts;
}

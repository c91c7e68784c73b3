/** Pictures in one file that every computer opens: a tar archive (POSIX.1-1988, ustar). */

export interface Item {
  readonly name: string;
  readonly data: Blob;
  /** When it was made. */
  readonly at: string;
}

const BLOCK = 512;

/** The pictures are not read into memory: the file is put together from where they are kept. */
export function archive(items: readonly Item[]): Blob {
  const parts = items.flatMap(({ data, ...item }) => [
    head(item, data.size),
    data,
    new Uint8Array(-data.size & (BLOCK - 1)),
  ]);
  return new Blob([...parts, new Uint8Array(2 * BLOCK)], { type: "application/x-tar" });
}

function head({ name, at }: Omit<Item, "data">, size: number): Uint8Array<ArrayBuffer> {
  const block = new Uint8Array(BLOCK);
  const put = (offset: number, text: string): void => {
    block.set(new TextEncoder().encode(text), offset);
  };
  put(0, name);
  put(100, "0000644\0");
  put(108, "0000000\0");
  put(116, "0000000\0");
  put(124, `${octal(size, 11)}\0`);
  put(136, `${octal(Math.floor(Date.parse(at) / 1000), 11)}\0`);
  // The sum is taken with its own place filled with blanks.
  put(148, " ".repeat(8));
  put(156, "0ustar\0");
  put(263, "00");
  const sum = block.reduce((all, byte) => all + byte, 0);
  put(148, `${octal(sum, 6)}\0 `);
  return block;
}

function octal(value: number, digits: number): string {
  return value.toString(8).padStart(digits, "0");
}

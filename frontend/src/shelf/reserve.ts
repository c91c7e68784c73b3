/**
 * Room kept empty beside the pictures, for a phone that is full.
 *
 * Browsers do not say how much room there really is, and what turns down a picture turns down the
 * next record too. So the room is taken before the first picture, and given up for a record.
 */
import type { DBSchema } from "idb";
import { Handle, ShelfFault } from "./handle";

/** Some browsers cannot keep blobs; then the bytes themselves are kept. */
export type Kept = Blob | ArrayBuffer;

interface Schema extends DBSchema {
  room: { key: "room"; value: Kept };
}

// Browsers count late, so that a full phone may hold some photos more than it should; what is left
// takes a thousand records and more. (Choice of the product.)
const BYTES = 5_000_000;

export class Reserve {
  readonly #handle: Handle<Schema>;

  constructor(name = "reserve") {
    this.#handle = new Handle<Schema>(name, 1, (database) => {
      database.createObjectStore("room");
    });
  }

  /**
   * Take the room, where it is not taken yet.
   *
   * @throws ShelfFault `full` where there is not so much.
   */
  async hold(): Promise<void> {
    await blobsOrBytes([new Blob([new Uint8Array(BYTES)])], ([room]) =>
      this.#handle.use(async (database) => {
        if (room && !(await database.getKey("room", "room")))
          await database.put("room", room, "room");
      }),
    );
  }

  /** Do what must not fail for want of room: on a full phone once more, in the room that was kept. */
  async making<T>(work: () => Promise<T>): Promise<T> {
    try {
      return await work();
    } catch (fault) {
      if (!(fault instanceof ShelfFault) || fault.fault !== "full") throw fault;
      await this.#handle.use((database) => database.delete("room", "room"));
      return work();
    }
  }

  async destroy(): Promise<void> {
    await this.#handle.destroy();
  }
}

/** Keep blobs; where the browser breaks over them, their bytes. */
export async function blobsOrBytes(
  blobs: readonly Blob[],
  put: (these: readonly Kept[]) => Promise<void>,
): Promise<void> {
  try {
    await put(blobs);
  } catch (fault) {
    if (!(fault instanceof ShelfFault) || fault.fault !== "broken") throw fault;
    await put(await Promise.all(blobs.map((blob) => blob.arrayBuffer())));
  }
}

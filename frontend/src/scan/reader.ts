/**
 * Reads codes out of pictures, on the phone itself. A chunk of its own: the reader is a megabyte,
 * and comes from this origin alone, kept by the service worker.
 */
import { BarcodeDetector, prepareZXingModule } from "barcode-detector/ponyfill";
import reader from "zxing-wasm/reader/zxing_reader.wasm?url";

export interface Seen {
  readonly text: string;
  /** Its middle, from 0 to 1 across and down the picture. */
  readonly x: number;
  readonly y: number;
}

export type Read = (picture: ImageData) => Promise<Seen[]>;

/**
 * The reader, ready.
 *
 * @throws where its file can be had neither from the office nor from what the phone keeps.
 */
export async function ready(): Promise<Read> {
  await prepareZXingModule({
    overrides: {
      locateFile: (path: string, prefix: string) =>
        path.endsWith(".wasm") ? reader : `${prefix}${path}`,
    },
    fireImmediately: true,
  });
  const detector = new BarcodeDetector({ formats: ["qr_code"] });
  return async (picture) => {
    const found = await detector.detect(picture);
    return found.map(({ rawValue, cornerPoints }) => ({
      text: rawValue,
      x: mean(cornerPoints.map(({ x }) => x)) / picture.width,
      y: mean(cornerPoints.map(({ y }) => y)) / picture.height,
    }));
  };
}

function mean(some: readonly number[]): number {
  return some.reduce((sum, one) => sum + one, 0) / some.length;
}

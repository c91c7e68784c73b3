/**
 * A picture from the camera, made small enough to keep and to send, with nothing in it but points.
 *
 * One picture is in memory at a time, and is let go at once: a phone kills a page that holds several.
 */
import { bare, frame, NoJpeg, type Frame } from "./jpeg";
import { fitted, LONGEST, MOST, THUMB_LONGEST, THUMB_MOST, TYPICAL, within } from "./size";

/** This browser cannot read the file as a picture. */
export class Unreadable extends Error {}

export interface Encoded extends Frame {
  readonly data: Blob;
  readonly thumb: Blob;
  readonly sha256: string;
}

type Canvas = OffscreenCanvas | HTMLCanvasElement;
type Source = ImageBitmap | HTMLImageElement | Canvas;

const TYPE = "image/jpeg";
const SMALLER = 0.75;

let turn: Promise<unknown> = Promise.resolve();

/**
 * The picture upright, at most 1600 points long and 1.5 MB large, without EXIF.
 *
 * @throws Unreadable
 */
export function encoded(file: Blob): Promise<Encoded> {
  const mine = turn.then(() => encode(file));
  turn = mine.catch(() => null);
  return mine;
}

async function encode(file: Blob): Promise<Encoded> {
  let canvas = await opened(file);
  try {
    let data = await fitted((quality) => jpeg(canvas, quality), TYPICAL);
    while (data.size > MOST) {
      const smaller = painted(canvas, within(canvas, longest(canvas) * SMALLER));
      letGo(canvas);
      canvas = smaller;
      data = await fitted((quality) => jpeg(canvas, quality), TYPICAL);
    }
    const small = painted(canvas, within(canvas, THUMB_LONGEST));
    const thumb = await fitted((quality) => jpeg(small, quality), THUMB_MOST);
    letGo(small);
    const bytes = new Uint8Array(await data.arrayBuffer());
    return { data, thumb, sha256: await sha256(bytes), ...frame(bytes) };
  } catch (fault) {
    throw fault instanceof NoJpeg ? new Unreadable("encoder", { cause: fault }) : fault;
  } finally {
    letGo(canvas);
  }
}

/** The file on a canvas, upright and no longer than it may be. */
async function opened(file: Blob): Promise<Canvas> {
  const address = URL.createObjectURL(file);
  const image = new Image();
  try {
    // Only its head is read for the size; the points are read below, once.
    image.src = address;
    await loaded(image);
    const size = within({ width: image.naturalWidth, height: image.naturalHeight }, LONGEST);
    const bitmap = await resized(file, size);
    const canvas = painted(bitmap ?? image, size);
    bitmap?.close();
    return canvas;
  } finally {
    image.src = "";
    URL.revokeObjectURL(address);
  }
}

async function loaded(image: HTMLImageElement): Promise<void> {
  await new Promise((done, fail) => {
    image.onload = done;
    image.onerror = () => {
      fail(new Unreadable());
    };
  });
  if (image.naturalWidth === 0 || image.naturalHeight === 0) throw new Unreadable();
}

/** Null where this browser cannot do it, or does it lying on its side. */
async function resized(file: Blob, { width, height }: Frame): Promise<ImageBitmap | null> {
  try {
    const bitmap = await createImageBitmap(file, {
      imageOrientation: "from-image",
      resizeWidth: width,
      resizeHeight: height,
      resizeQuality: "high",
    });
    if (bitmap.width === width && bitmap.height === height) return bitmap;
    bitmap.close();
  } catch {
    // The picture itself is painted instead.
  }
  return null;
}

function painted(source: Source, { width, height }: Frame): Canvas {
  const canvas = surface({ width, height });
  const context = canvas.getContext("2d", { alpha: false }) as
    CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D | null;
  if (!context) throw new Unreadable("canvas");
  // What is transparent is paper, not night.
  context.fillStyle = "white";
  context.fillRect(0, 0, width, height);
  context.imageSmoothingQuality = "high";
  context.drawImage(source, 0, 0, width, height);
  return canvas;
}

function surface({ width, height }: Frame): Canvas {
  if (typeof OffscreenCanvas !== "undefined") return new OffscreenCanvas(width, height);
  const canvas = document.createElement("canvas");
  canvas.width = width;
  canvas.height = height;
  return canvas;
}

async function jpeg(canvas: Canvas, quality: number): Promise<Blob> {
  const made =
    canvas instanceof HTMLCanvasElement
      ? await new Promise<Blob | null>((done) => {
          canvas.toBlob(done, TYPE, quality);
        })
      : await canvas.convertToBlob({ type: TYPE, quality });
  if (!made) throw new Unreadable("canvas");
  // Some encoders write a head of EXIF of their own.
  return new Blob([bare(new Uint8Array(await made.arrayBuffer()))], { type: TYPE });
}

function longest({ width, height }: Frame): number {
  return Math.max(width, height);
}

/** Some browsers hold a canvas' memory until it has no points. */
function letGo(canvas: Canvas): void {
  canvas.width = 0;
  canvas.height = 0;
}

async function sha256(bytes: Uint8Array<ArrayBuffer>): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return [...digest].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

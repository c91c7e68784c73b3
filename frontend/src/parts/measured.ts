/**
 * How wide or high an element is: told before each frame in which it changed, the first included.
 *
 * To read a size while a sheet is still built makes the browser lay the sheet out for nothing, which
 * costs a slow phone a tenth of a second; its observer has the size when it is known anyway.
 */
import type { Attachment } from "svelte/attachments";

type Size = "clientWidth" | "clientHeight";

const watched = new WeakMap<Element, () => void>();
let observer: ResizeObserver | null = null;

export function measured(size: Size, tell: (px: number) => void): Attachment<HTMLElement> {
  return (element) => {
    observer ??= new ResizeObserver((changed) => {
      for (const { target } of changed) watched.get(target)?.();
    });
    watched.set(element, () => {
      tell(element[size]);
    });
    observer.observe(element);
    return () => {
      watched.delete(element);
      observer?.unobserve(element);
    };
  };
}

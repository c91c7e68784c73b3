// @vitest-environment jsdom
import { expect, test, vi } from "vitest";
import { measured } from "./measured";

let tell: (changed: { target: Element }[]) => void = () => undefined;
const unobserve = vi.fn();
vi.stubGlobal(
  "ResizeObserver",
  class {
    observe = vi.fn();
    unobserve = unobserve;
    constructor(told: typeof tell) {
      tell = told;
    }
  },
);

test("each element is told its own size, never while the sheet is built, and none that is gone", () => {
  const [one, two] = [document.createElement("div"), document.createElement("div")];
  Object.defineProperty(one, "clientWidth", { value: 300 });
  Object.defineProperty(two, "clientHeight", { value: 18 });
  const [wide, high] = [vi.fn(), vi.fn()];
  const over = measured("clientWidth", wide)(one);
  measured("clientHeight", high)(two);
  expect(wide).not.toHaveBeenCalled();
  tell([{ target: one }, { target: two }]);
  expect([wide.mock.calls, high.mock.calls]).toEqual([[[300]], [[18]]]);
  over?.();
  expect(unobserve).toHaveBeenCalledWith(one);
  tell([{ target: one }, { target: two }]);
  expect(wide).toHaveBeenCalledTimes(1);
});

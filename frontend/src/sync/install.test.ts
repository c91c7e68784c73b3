import { describe, expect, test } from "vitest";
import { isTabThatForgets, mustInstall } from "./install";

const IPHONE =
  "Mozilla/5.0 (iPhone; CPU iPhone OS 18_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.5 Mobile/15E148 Safari/604.1";
const IPAD_OLD =
  "Mozilla/5.0 (iPad; CPU OS 12_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/12.1.2 Mobile/15E148 Safari/604.1";
const MAC =
  "Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.5 Safari/605.1.15";
const OTHER_ON_IPHONE =
  "Mozilla/5.0 (iPhone; CPU iPhone OS 18_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) CriOS/137.0.0.0 Mobile/15E148 Safari/604.1";
const ANDROID =
  "Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/137.0.0.0 Mobile Safari/537.36";
const WINDOWS =
  "Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/137.0.0.0 Safari/537.36";

describe("requirement 21: more than 20 unsent in a tab that forgets show the install sheet", () => {
  test.each([
    ["an iPhone", IPHONE, 5, true],
    ["another browser on an iPhone", OTHER_ON_IPHONE, 5, true],
    ["an old iPad", IPAD_OLD, 5, true],
    ["an iPad that calls itself a desktop", MAC, 5, true],
    ["a Mac", MAC, 0, false],
    ["an Android phone", ANDROID, 5, false],
    ["a desktop with a touch screen", WINDOWS, 10, false],
  ])("%s", (_name, userAgent, maxTouchPoints, forgets) => {
    const tab = { userAgent, maxTouchPoints, standalone: false };
    expect(isTabThatForgets(tab)).toBe(forgets);
    expect(mustInstall(tab, 21)).toBe(forgets);
    expect(mustInstall(tab, 20)).toBe(false);
    expect(mustInstall({ ...tab, standalone: true }, 500)).toBe(false);
  });
});

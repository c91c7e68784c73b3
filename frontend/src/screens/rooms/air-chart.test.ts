import { expect, test } from "vitest";
import { points } from "./air-chart";

const BOX = { left: 40, width: 164, height: 84 };

test("figures lie between the least and the most, and a gap lies between two runs", () => {
  const drawn = points(
    [
      [
        { ms: 0, value: 14 },
        { ms: 50, value: 30 },
      ],
      [{ ms: 100, value: 22 }],
    ],
    BOX,
  );
  expect(drawn.runs).toEqual([
    [
      { x: 52, y: 84 },
      { x: 102, y: 12 },
    ],
    [{ x: 152, y: 48 }],
  ]);
  expect(drawn.gaps).toEqual([{ from: 102, to: 152 }]);
  expect([drawn.least, drawn.most]).toEqual([14, 30]);
});

test("one figure alone stands in the middle of its line", () => {
  expect(points([[{ ms: 7, value: 6.1 }]], BOX).runs).toEqual([[{ x: 102, y: 12 }]]);
});

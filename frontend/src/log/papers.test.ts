import { describe, expect, test } from "vitest";
import { idOf, instant, raw } from "../testing/entries";
import { history } from "./history";
import { aboutOf, pictured, unpictured } from "./papers";

const order = { act: "hold", reference: "Q-09" };

describe("a paper without its picture", () => {
  const lines = history([
    raw({ id: 1, kind: "ordered", body: order, about: ["b-1", "b-2"] }),
    raw({ id: 2, kind: "ordered", body: { ...order, act: "treat", times: 2 }, about: ["b-2"] }),
    raw({ id: 3, kind: "accepted", body: { what: "potting", reference: "P-31", photo: "x" } }),
    raw({ id: 4, kind: "released", body: { notice: "RN-204", count: 3 } }),
    raw({ id: 5, kind: "opened", body: { on: "2031-03-03", permit: "cq-118" } }),
    raw({ id: 6, kind: "accepted", body: { what: "week", reference: "AC-5" } }),
    raw({ id: 7, kind: "withdrawn", body: {}, corrects: 6 }),
    raw({ id: 8, kind: "ordered", body: { act: "burn everything" } }),
    raw({ id: 9, kind: "lost", body: { count: 1, fate: "died" } }),
  ]);
  const papers = unpictured(lines);

  test("is told once, whatever it orders", () => {
    expect(papers.map(({ reference, lines: acts }) => [reference, acts.length])).toEqual([
      ["cq-118", 1],
      ["RN-204", 1],
      ["Q-09", 2],
    ]);
    expect(papers[2]).toMatchObject({ at: instant(2) });
  });

  test("gets it by corrections that change nothing else", () => {
    const q09 = papers[2];
    if (!q09) throw new Error("no paper");
    expect(aboutOf(q09)).toEqual(["b-2", "b-1"]);
    expect(pictured(q09, "photo-1")).toContainEqual({
      kind: "ordered",
      about: ["b-1", "b-2"],
      body: { ...order, photo: "photo-1", saw: idOf(1) },
      corrects: idOf(1),
      occurredAt: instant(1),
      byHand: false,
    });
  });
});

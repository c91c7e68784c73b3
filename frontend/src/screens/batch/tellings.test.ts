// @vitest-environment jsdom
import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import english from "../../../../nursery/words/en.json";
import spanish from "../../../../nursery/words/es.json";
import { joined, type Body, type Voice } from "./telling";
import { TELLINGS } from "./tellings";
import { PLAIN, speaker } from "../../words/say";

type Shape = string | string[] | { many: Shape } | { record: Record<string, Shape> };

const SHAPES = JSON.parse(readFileSync("src/log/shapes.json", "utf8")) as Record<
  string,
  { shape: Record<string, Shape> }
>;
const KINDS = Object.keys(SHAPES);
const SPEAKERS = [
  { ...speaker("en", english), house: PLAIN },
  { ...speaker("es", spanish), house: PLAIN },
] as const;

/** Fields that no line tells: ids and files of the product itself, and what stands elsewhere. */
const SILENT = new Set([
  // The sheet is about this batch, and its label stands above.
  ...["taken_on", "sown", "stuck"].flatMap((kind) => [`${kind}.batch.id`, `${kind}.batch.label`]),
  "received.batches.label",
  // A new batch is told by its label; its parents are those of the whole record.
  ...["split", "pricked", "mixed", "joined"].flatMap((kind) => [
    `${kind}.children.id`,
    `${kind}.children.parents`,
  ]),
  // Which due check was answered, on which version of its list.
  // What joins a record to another one, or to a row that the sheet tells of by itself.
  ...["took.graft", "stepped.program", "booked.plan"],
  ...["looked.check", "looked.version", "trapped.check", "repaired.breach", "described.incident"],
  // What a trace began with, by ids; its batches stand in what it is about.
  "traced.of",
  // The file itself.
  ...["photo", "sha256", "width", "height"].map((field) => `photographed.${field}`),
]);

/** Where the first choice, or any text, would leave other fields without meaning. */
const FIRST: Readonly<Record<string, unknown>> = {
  "received.batches.id": "b-4",
  "settled.doubt": "difference:x",
  "skipped.check": "look_over-x",
  "surveyed.seen.state": "dead",
};

let made = 0;

function value(shape: Shape, path: string): unknown {
  if (path in FIRST) return FIRST[path];
  made += 1;
  if (Array.isArray(shape)) return shape[0];
  if (typeof shape === "object") {
    return "many" in shape ? [value(shape.many, path)] : record(shape.record, path);
  }
  return plain(shape);
}

function plain(shape: string): unknown {
  const day = String(10 + (made % 18));
  if (shape === "flag") return true;
  if (shape === "day") return `2031-05-${day}`;
  if (shape === "instant") return `2031-05-${day}T0${made % 10}:30:00.000Z`;
  return ["count", "int", "float"].includes(shape) ? 100 + made : `text${made}`;
}

function record(shape: Record<string, Shape>, path: string): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(shape).map(([field, one]) => {
      const name = field.replace("!", "");
      return [name, value(one, `${path}.${name}`)];
    }),
  );
}

/** Every path to a field, and what lies at the end of it. */
function fields(shape: Record<string, Shape>, path: string): [string, Shape][] {
  return Object.entries(shape).flatMap(([field, one]): [string, Shape][] => {
    const here = `${path}.${field.replace("!", "")}`;
    const inner = typeof one === "object" && "many" in one ? one.many : one;
    return typeof inner === "object" && "record" in inner
      ? fields(inner.record, here)
      : [[here, one]];
  });
}

/** The body with another value at a path, or without any. */
function changed(body: unknown, path: readonly string[], to: unknown): unknown {
  const [name = "", ...rest] = path;
  if (Array.isArray(body)) return body.map((one) => changed(one, path, to));
  const now = { ...(body as Record<string, unknown>) };
  if (rest.length > 0) now[name] = changed(now[name], rest, to);
  else if (to === undefined) Reflect.deleteProperty(now, name);
  else now[name] = to;
  return now;
}

function said(kind: string, body: unknown, voice: Voice = SPEAKERS[0]) {
  const nameOf = (type: string, id: string): string => `${type.replaceAll("_", " ")} ${id}`;
  return joined(TELLINGS[kind] ?? [], { body: body as Body, subject: "b-4", voice, nameOf }) ?? "";
}

test("there is a telling for every kind of record, and for no other", () => {
  expect(Object.keys(TELLINGS).sort()).toEqual(KINDS.sort());
});

describe.each(KINDS)("a record of the kind %s", (kind) => {
  const { shape } = SHAPES[kind] as { shape: Record<string, Shape> };
  const full = record(shape, kind);
  const needed = record(
    Object.fromEntries(Object.entries(shape).filter(([name]) => name.endsWith("!"))),
    kind,
  );

  const told = (path: string, one: Shape): boolean => {
    const steps = path.split(".").slice(1);
    const [top = ""] = steps;
    const other = Array.isArray(one) ? one.at(-1) : value(one, "other");
    return [full, { ...needed, [top]: full[top] }].some((body) =>
      [other, undefined].some((to) => said(kind, changed(body, steps, to)) !== said(kind, body)),
    );
  };

  test("tells each of its fields", () => {
    const wanting = fields(shape, kind).filter(
      ([path, one]) => told(path, one) === SILENT.has(path),
    );
    expect(wanting.map(([path]) => path)).toEqual([]);
  });

  test("is told in words, whatever it leaves out", () => {
    for (const voice of SPEAKERS) {
      for (const body of [full, needed, {}]) {
        expect(said(kind, body, voice)).not.toMatch(/undefined|null|NaN|[{}|]|\w_\w|line\./);
      }
    }
  });
});

test("every doubt that a record may settle has a name", () => {
  const codes = (family: string) =>
    Object.keys(english)
      .filter((key) => key.startsWith(family))
      .map((key) => key.slice(family.length));
  expect(codes("doubt_name.").sort()).toEqual(codes("doubt.").sort());
});

test("a check that was signed is told with its block", () => {
  const body = { act: "planting", reason: "shade mats", checks: ["pots_full", "nurse_row:t-5"] };
  expect(said("signed", body)).toBe("plant: shade mats, Full pots, Shelter row, place t-5");
});

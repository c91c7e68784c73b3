/**
 * Whether a body has the shape of its kind.
 *
 * Twin of `nursery/domain/kinds/shape.py`; the table comes from its dataclasses
 * (`tools/shapes.py`), so only the plain types stand here a second time.
 */
import table from "./shapes.json";

type Plain = "count" | "int" | "float" | "flag" | "name" | "text" | "day" | "instant";
type Shape = Plain | readonly string[] | { readonly many: Shape } | { readonly record: Fields };
// An interface, since a type may not name itself.
// eslint-disable-next-line @typescript-eslint/consistent-indexed-object-style
interface Fields {
  readonly [name: string]: Shape;
}
type Fits = (value: unknown) => boolean;

const MOST_PLANTS = 100_000_000;
const MOST_ITEMS = 20_000;
const LARGEST_NUMBER = 1e12;
const LONGEST_NAME = 64;
const LONGEST_TEXT = 4000;

const DAY = /^([12]\d{3})-(\d\d)-(\d\d)$/;
// What no database keeps: NUL, or half of a character.
const UNKEEPABLE = /[\0\ud800-\udfff]/u;
const INSTANT = /^([12]\d{3}-\d\d-\d\d)T([01]\d|2[0-3]):[0-5]\d:[0-5]\d\.\d{3}Z$/;
const DAYS_OF_MONTH = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

const PLAIN: Readonly<Record<Plain, Fits>> = {
  count: (value) => whole(value, 0, MOST_PLANTS),
  int: (value) => whole(value, -MOST_PLANTS, MOST_PLANTS),
  float: (value) => typeof value === "number" && Math.abs(value) <= LARGEST_NUMBER,
  flag: (value) => typeof value === "boolean",
  name: (value) => isText(value, 1, LONGEST_NAME),
  text: (value) => isText(value, 0, LONGEST_TEXT),
  day: isDay,
  instant: isInstant,
};

const KINDS = new Map(
  Object.entries(table as unknown as Record<string, { v: number; shape: Fields }>).map(
    ([kind, { v, shape }]) => [kind, { v, fits: record(shape) }],
  ),
);

/** False for an unknown kind, a newer version, or a field that does not fit. */
export function readable(kind: string, v: number, body: unknown): boolean {
  const known = KINDS.get(kind);
  return known !== undefined && v <= known.v && known.fits(body);
}

export function isMap(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

export function whole(value: unknown, least: number, most: number): boolean {
  return Number.isInteger(value) && (value as number) >= least && (value as number) <= most;
}

function isText(value: unknown, least: number, most: number): boolean {
  return (
    typeof value === "string" &&
    value.length >= least &&
    atMost(value, most) &&
    !UNKEEPABLE.test(value)
  );
}

/** One canonical form, UTC with exactly milliseconds: the order of texts is the order of instants. */
export function isInstant(value: unknown): value is string {
  const found = typeof value === "string" ? INSTANT.exec(value) : null;
  return found !== null && isDay(found[1]);
}

function isDay(value: unknown): boolean {
  const found = typeof value === "string" ? DAY.exec(value) : null;
  if (!found) return false;
  const [year, month, day] = [Number(found[1]), Number(found[2]), Number(found[3])];
  const days = month === 2 && isLeap(year) ? 29 : (DAYS_OF_MONTH[month - 1] ?? 0);
  return day >= 1 && day <= days;
}

function isLeap(year: number): boolean {
  return (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
}

/** Length in characters, as Python counts it: one outside the first plane is one. */
function atMost(text: string, most: number): boolean {
  return text.length <= most || (text.length <= 2 * most && Array.from(text).length <= most);
}

function reader(shape: Shape): Fits {
  if (typeof shape === "string") return PLAIN[shape];
  if (isChoice(shape)) return (value) => shape.includes(value as string);
  if ("record" in shape) return record(shape.record);
  const one = reader(shape.many);
  return (value) => Array.isArray(value) && value.length <= MOST_ITEMS && value.every(one);
}

function isChoice(shape: Shape): shape is readonly string[] {
  return Array.isArray(shape);
}

function record(shape: Fields): Fits {
  const plan = Object.entries(shape).map(([name, field]) => ({
    name: name.replace("!", ""),
    required: name.endsWith("!"),
    fits: reader(field),
  }));
  return (value) =>
    isMap(value) &&
    plan.every(({ name, required, fits }) => {
      const given = value[name] ?? null;
      return given === null ? !required : fits(given);
    });
}

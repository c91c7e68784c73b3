/** Parts of what a record says: each takes one field of the body, and is silent where it is absent. */
import type { Key } from "../../words/catalogue";
import type { Params } from "../../words/forms";
import { local } from "../../words/local";

export interface Voice {
  readonly say: (key: Key, params?: Params) => string;
  readonly word: (key: string, params?: Params) => string | null;
  readonly house: { readonly zone: string };
}

/** What is called by a name that somebody gave it. `item` is a line of a checklist. */
export type Named =
  "place" | "batch" | "person" | "crop" | "pest" | "permit" | "consignment" | "item" | "seed_lot";
export type NameOf = (type: Named, id: string) => string;
export type Body = Readonly<Record<string, unknown>>;

export interface Told {
  readonly body: Body;
  /** The batch on whose sheet the record is read. */
  readonly subject: string;
  readonly voice: Voice;
  readonly nameOf: NameOf;
}

export type Part = (told: Told) => string | null;

export function text(value: unknown): string | null {
  return typeof value === "string" && value !== "" ? value : null;
}

export function figure(value: unknown): number | null {
  return typeof value === "number" ? value : null;
}

export function list(value: unknown): readonly Body[] {
  const found: readonly unknown[] = Array.isArray(value) ? value : [];
  return found.filter((one): one is Body => typeof one === "object" && one !== null);
}

export function texts(value: unknown): readonly string[] {
  const found: readonly unknown[] = Array.isArray(value) ? value : [];
  return found.filter((one): one is string => text(one) !== null);
}

/** The parts that say something, as one sentence; null where none does. */
export function joined(parts: readonly Part[], told: Told, glue = ", "): string | null {
  const said = parts.map((part) => part(told)).filter((one) => one !== null && one !== "");
  // What somebody wrote as a whole sentence goes on here.
  return said.length > 0 ? said.join(glue).replaceAll(`.${glue}`, glue) : null;
}

/** Parts of which the later are the reason or the content of the first. */
export function because(first: Part, ...reasons: readonly Part[]): Part {
  return (told) => {
    const line = first(told);
    const reason = joined(reasons, told);
    if (line === null || reason === null) return line ?? reason;
    return told.voice.say("line.reason", { text: line, reason });
  };
}

/** A word or a text as it is, or in a phrase with the hole `text`. */
export function plain(field: string, key?: Key): Part {
  return ({ body, voice }) => phrase(text(body[field]), voice, key);
}

/** A figure in a phrase with the hole `n`. */
export function counted(field: string, key: Key): Part {
  return ({ body, voice }) => {
    const n = figure(body[field]);
    return n === null ? null : voice.say(key, { n });
  };
}

/** A code in words; one that this version does not know, as it was written. */
export function coded(field: string, family: string, key?: Key): Part {
  return ({ body, voice }) => phrase(codeOf(body[field], family, voice), voice, key);
}

export function codeOf(value: unknown, family: string, { word }: Voice): string | null {
  const code = text(value);
  return code === null ? null : (word(`${family}.${code}`) ?? code.replaceAll("_", " "));
}

export function named(field: string, type: Named, key?: Key): Part {
  return ({ body, voice, nameOf }) => {
    const id = text(body[field]);
    return phrase(id === null ? null : nameOf(type, id), voice, key);
  };
}

/** Several names, in a phrase with the hole `names` or `labels`; `n` is how many. */
export function all(field: string, key: Key, type?: Named): Part {
  return ({ body, voice, nameOf }) => {
    const names = texts(body[field]).map((one) => (type ? nameOf(type, one) : one));
    return names.length > 0 ? voice.say(key, { n: names.length, names, labels: names }) : null;
  };
}

export function codes(field: string, family: string): Part {
  return ({ body, voice }) =>
    texts(body[field])
      .map((one) => codeOf(one, family, voice))
      .join(", ");
}

export function onDay(field: string, key: Key): Part {
  return ({ body, voice }) => {
    const on = text(body[field]);
    return on === null ? null : voice.say(key, { on });
  };
}

/** Several days, in a phrase with the hole `names`. */
export function onDays(field: string, key: Key): Part {
  return ({ body, voice }) => {
    const names = texts(body[field]).map((on) => voice.say("line.day", { on }));
    return names.length > 0 ? voice.say(key, { names }) : null;
  };
}

export function at(field: string, key: Key): Part {
  return ({ body, voice }) => {
    const instant = text(body[field]);
    return instant === null ? null : voice.say(key, { at: instant });
  };
}

/** Said where the field is there and is not `false`. */
export function flagged(field: string, key: Key): Part {
  return ({ body, voice }) =>
    text(body[field]) !== null || body[field] === true ? voice.say(key) : null;
}

export const photo = flagged("photo", "line.photo");

/** What each of several things says, in the words of its own parts. */
export function each(field: string, parts: readonly Part[], glue = ", "): Part {
  return ({ body, ...told }) => {
    const said = list(body[field]).map((one) => joined(parts, { ...told, body: one }));
    const words = said.filter((one) => one !== null);
    return words.length > 0 ? words.join(glue) : null;
  };
}

/** From when to when, and how long. */
export function stretch(from: string, to: string): Part {
  return ({ body, voice }) => {
    const [start, end] = [text(body[from]), text(body[to])];
    if (start === null || end === null) return null;
    const { say, house } = voice;
    const sameDay = local(start, house.zone).day === local(end, house.zone).day;
    return say("date.stretch", {
      start: say("line.moment", { at: start }),
      end: say(sameDay ? "line.hour" : "line.moment", { at: end }),
      length: say("line.span", { ms: Date.parse(end) - Date.parse(start) }),
    });
  };
}

/** Plants of one batch or of several: without names where they are all of the sheet's own. */
export const shares: Part = ({ body, subject, voice, nameOf }) => {
  const found = list(body["plants"]).map(({ id, count }) => ({
    id: text(id) ?? "",
    n: figure(count) ?? 0,
  }));
  if (found.length === 1 && found[0]?.id === subject) return voice.say("plants", found[0]);
  return found
    .map(({ id, n }) => voice.say("line.share", { n, label: nameOf("batch", id) }))
    .join(", ");
};

function phrase(value: string | null, { say }: Voice, key?: Key): string | null {
  return value === null || key === undefined ? value : say(key, { text: value });
}

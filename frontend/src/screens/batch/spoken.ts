/** Parts of a record that are more than one field in a phrase. */
import { isId } from "../../parts/holds";
import {
  because,
  coded,
  codeOf,
  counted,
  each,
  figure,
  joined,
  list,
  named,
  onDay,
  plain,
  text,
  texts,
  type Part,
  type Told,
} from "./telling";

/** So much of a hash tells files of one nursery apart. */
const MARK = 12;

/** What stands on the label that a batch began with, beyond its name. */
const label: readonly Part[] = [
  counted("stated", "line.received"),
  named("crop", "crop"),
  coded("stage", "stage"),
  plain("container"),
  counted("cells", "line.cells"),
  named("place", "place", "line.place"),
];

export const batch: Part = ({ body, ...told }) =>
  joined(label, { ...told, body: (body["batch"] ?? {}) as Told["body"] });

/** What the paper says of the batch itself. */
const own: Part = ({ body, ...told }) => {
  const mine = list(body["batches"]).find(({ id }) => id === told.subject);
  return mine ? joined(label, { ...told, body: mine }) : null;
};

/** What it says of the whole consignment. */
const whole: readonly Part[] = [
  because(
    named("consignment", "consignment", "line.consignment"),
    counted("stated", "line.received"),
  ),
  plain("certificate", "line.certificate"),
  coded("seal", "seal", "line.seal"),
  counted("boxes", "line.boxes"),
  named("place", "place", "line.place"),
];

/** Which row of which spreadsheet told it; the file is known again by the start of its hash. */
export const ofFile: Part = ({ body, voice }) => {
  const told = (body["file"] ?? {}) as Told["body"];
  const name = text(told["name"]);
  const row = figure(told["row"]);
  if (name === null || row === null) return null;
  const mark = (text(told["sha256"]) ?? "").slice(0, MARK);
  return voice.say("line.from_file", { name, row, mark });
};

export const arrival: Part = (told) =>
  joined([own, (all) => joined(whole, all), ofFile], told, "; ");

const from: Part = ({ body, voice, nameOf }) =>
  list(body["parents"])
    .map(({ id, left }) => {
      const name = nameOf("batch", text(id) ?? "?");
      return voice.say("line.left_in", { n: figure(left) ?? 0, label: name });
    })
    .join(", ");

const into: Part = ({ body, ...told }) => {
  const { say } = told.voice;
  const labels = list(body["children"]).map((child) => {
    const plants = joined([counted("count", "plants"), ...label], { ...told, body: child });
    const name = text(child["label"]) ?? "?";
    return plants === null ? name : say("line.child", { text: name, plants });
  });
  return say("line.into", { labels });
};

export const division: readonly Part[] = [into, from];

/** A figure for each of several fields, each in the word of its own family. */
export function classes(family: string, fields: readonly string[]): readonly Part[] {
  return fields.map((field): Part => ({ body, voice }) => {
    const n = figure(body[field]);
    const name = codeOf(field, family, voice);
    return n === null ? null : voice.say("line.figure", { text: name, n });
  });
}

/** Checks of a planting day, each with the block that it is of: `nurse_row:terrace-5`. */
const dayChecks: Part = ({ body, voice, nameOf }) =>
  texts(body["checks"])
    .map((key) => {
      const [what = key, block] = key.split(":");
      const check = codeOf(what, "day_check", voice) ?? what;
      if (block === undefined) return check;
      return voice.say("planting.at", { check, block: nameOf("place", block) });
    })
    .join(", ");

export const signed: readonly Part[] = [
  because(coded("act", "act"), plain("reason")),
  onDay("on", "on_day"),
  dayChecks,
];

export const outOf =
  (field: string, key: "line.scorched" | "line.wilted"): Part =>
  ({ body, voice }) => {
    const n = figure(body[field]);
    return n === null ? null : voice.say(key, { n, of: figure(body["of"]) ?? "?" });
  };

/** What one person saw, and how. */
export const seenAlive: Part = ({ body, voice }) => {
  const n = figure(body["alive"]);
  const method = codeOf(body["method"], "method", voice);
  return n === null ? null : voice.say("line.counted", { n, method: method ?? "?" });
};

export const relabelling: Part = ({ body }) => {
  const [old, now] = [text(body["old"]), text(body["new"])];
  return old === null || now === null ? null : `${old} → ${now}`;
};

export const addressee: Part = ({ body, voice }) => {
  const [name, how] = [text(body["who"]), text(body["how"])];
  return name === null || how === null ? name : voice.say("line.told", { text: name, how });
};

/** How many plants, by a word that has its own plural. */
export const fate: Part = ({ body, voice }) => {
  const n = figure(body["count"] ?? body["plants"]);
  const code = text(body["fate"]) ?? "missing";
  return n === null ? null : voice.word(`fate.${code}`, { n });
};

/** Only what adds to the whole look: what was seen, and plants that were looked at closer. */
const items: Part = ({ body, voice, nameOf }) => {
  const said = list(body["items"])
    .filter(({ answer, plants }) => answer !== "nothing" || plants !== body["plants"])
    .map((item) => {
      const name = nameOf("item", `${text(body["checklist"])}/${text(item["item"])}`);
      const answer = item["answer"] === "nothing" ? null : codeOf(item["answer"], "look", voice);
      const n = figure(item["plants"]);
      const plants = n === null ? null : voice.say("plants", { n });
      return `${name}: ${[answer, plants].filter(Boolean).join(", ")}`;
    });
  return said.length > 0 ? said.join("; ") : null;
};

export const minutes: Part = ({ body, voice }) => {
  const spent = figure(body["minutes"]);
  return spent === null ? null : voice.say("line.spent", { n: Math.round(spent) });
};

const look: Part = (told) =>
  joined([coded("answer", "look"), counted("plants", "plants"), minutes], told);

export const lookOver: Part = (told) =>
  joined([because(look, coded("why", "unlooked")), items, sheet], told, "; ");

/** Who wrote it on paper, and whether that was photographed. */
export const sheet: Part = ({ body, voice, nameOf }) => {
  const told = (body["sheet"] ?? {}) as Told["body"];
  const by = text(told["by"]);
  if (by === null) return null;
  const key = text(told["photo"]) === null ? "line.on_paper_bare" : "line.on_paper";
  return voice.say(key, { name: nameOf("person", by) });
};

export const trap: Part = (told) => {
  const { body, voice } = told;
  if (body["answer"] === "not_readable") return voice.say("look.not_readable");
  return each("catches", [caught])(told) ?? voice.say("line.no_catch");
};

const caught: Part = ({ body, voice, nameOf }) => {
  const name = nameOf("pest", text(body["pest"]) ?? "?");
  return voice.say("line.figure", { text: name, n: figure(body["count"]) ?? 0 });
};

export const reading: Part = ({ body, voice }) => {
  const [what, n] = [text(body["what"]) ?? "?", figure(body["value"])];
  const known = voice.word(`line.reading.${what}`, { n });
  return known ?? voice.say("line.figure", { text: what.replaceAll("_", " "), n });
};

export const who: Part = ({ body, voice, nameOf }) => {
  const visitor = (body["visitor"] ?? {}) as Told["body"];
  const [name, firm] = [text(visitor["name"]), text(visitor["firm"])];
  if (name !== null) return firm === null ? name : voice.say("line.firm", { text: name, firm });
  return named("person", "person")({ body, voice, nameOf, subject: "" });
};

/** How many stand how, and each position where one does not. */
export const seen: Part = ({ body, voice }) => {
  const found = list(body["seen"]);
  const alive = found.filter(({ state }) => state === "alive").length;
  const others = found
    .filter(({ state }) => state !== "alive")
    .map(({ position, state, cause }) => {
      const said = [codeOf(state, "standing", voice), text(cause)].filter(Boolean).join(", ");
      return `${text(position)}: ${said}`;
    });
  return [voice.say("fate.alive", { n: alive }), ...others].join("; ");
};

/** What was settled: the doubt's code stands before its entries. */
export const doubt: Part = ({ body, voice }) => {
  const code = text(body["doubt"])?.split(":")[0] ?? "other";
  return voice.word(`doubt_name.${code}`) ?? voice.say("doubt_name.other");
};

export const check: Part = ({ body, voice }) => {
  const kind = text(body["check"])?.split("-")[0] ?? "";
  return voice.word(`check.${kind}`);
};

/** An order is lifted by its reference; a find by an id, which nobody reads. */
export const lifts: Part = ({ body, voice }) => {
  const what = text(body["lifts"]);
  if (what === null) return null;
  return voice.say("line.lifts", { text: isId(what) ? voice.say("line.a_find") : what });
};

export const times: Part = ({ body, voice }) => {
  const n = figure(body["times"]);
  return n === null ? null : voice.say("times", { n });
};

export const sampled: Part = ({ body, voice }) => {
  const n = figure(body["plants"]);
  return n === null
    ? null
    : voice.say(body["whole"] === true ? "line.whole_plants" : "plants", { n });
};

export const pictures: Part = ({ body, voice }) => {
  const photos = body["photos"];
  const n = Array.isArray(photos) ? photos.length : 0;
  return n === 0 ? null : voice.say("line.photos", { n });
};

import { readUnknown } from "../log/arrival";
import { nameOfId } from "../log/seats";
import type { Answer } from "../net/office";
import type { BatchView, RowView } from "../net/views";
import { speech } from "../parts/speech.svelte";
import { keep, kept } from "../shelf/kept";
import { book } from "./book.svelte";
import { phone } from "./phone.svelte";
import type { Named } from "./batch/telling";
import type { Said } from "./rows/shapes";

/** Rows of reference data that records name, and the field of a row that holds its name. */
const ROWS: Readonly<Record<string, string>> = {
  place: "name",
  person: "name",
  crop: "name",
  pest: "name",
  consignment: "name",
  permit: "reference",
  seed_lot: "name",
};

/** What people call the things that entries name by their ids. */
class Names {
  #known = $state.raw<Readonly<Record<string, string>>>({});

  /** The name, or the id where nobody gave one. A phone's own copy of the book knows it first. */
  readonly of = (type: Named, id: string): string =>
    here(type, id) ??
    this.#known[`${type} ${speech.language} ${id}`] ??
    this.#known[`${type} ${id}`] ??
    unnamed(type, id);

  async open(): Promise<void> {
    const before = await kept<Record<string, string>>("names");
    if (before) this.#known = before.data;
  }

  async learn(): Promise<void> {
    const lists = await Promise.all([
      ...Object.entries(ROWS).map(async ([type, field]) =>
        all(await rows(type), (row) => [
          [`${type} ${row.id}`, row.body[field]],
          ...calledOf(row).map(({ language, text }): Pair => [
            `${type} ${language} ${row.id}`,
            text,
          ]),
        ]),
      ),
      rows("checklist").then((answer) => all(answer, itemsOf)),
    ]);
    this.#add(lists.flat());
  }

  labels(batches: readonly BatchView[]): void {
    this.#add(batches.map(({ id, label }) => [`batch ${id}`, label ?? id]));
  }

  #add(pairs: readonly Pair[]): void {
    const named = pairs.filter(([, name]) => typeof name === "string");
    if (named.length === 0) return;
    this.#known = { ...this.#known, ...(Object.fromEntries(named) as Record<string, string>) };
    void keep("names", { at: book.now(), data: this.#known });
  }
}

/** What nobody has described is called by what its id was made of. */
function unnamed(type: Named, id: string): string {
  const [, block, row] = (type === "place" ? /^(.+)\.(\d+)$/.exec(id) : null) ?? [];
  if (block && row) return speech.say("name.row", { place: names.of("place", block), n: row });
  if (type === "place" || type === "crop") return nameOfId(id);
  const arrival = type === "consignment" ? readUnknown(id) : null;
  return arrival ? speech.say("name.arrival", { ...arrival }) : id;
}

function here(type: Named, id: string): string | null {
  if (type === "batch") return phone.batches.get(id)?.label ?? null;
  if (type === "item") return itemHere(id);
  const row = phone.row(type, id);
  const called = row && calledOf(row).find(({ language }) => language === speech.language);
  if (called) return called.text;
  const name = row?.body[ROWS[type] ?? "name"];
  return typeof name === "string" ? name : null;
}

function itemHere(id: string): string | null {
  const [list = ""] = id.split("/");
  const row = phone.row("checklist", list);
  if (!row) return null;
  const pairs = itemsOf(row);
  const [, said] =
    [`item ${speech.language} ${id}`, `item ${id}`]
      .map((wanted) => pairs.find(([key]) => key === wanted))
      .find((found) => found) ?? [];
  return typeof said === "string" ? said : null;
}

type Pair = readonly [key: string, name: unknown];

function rows(type: string): Promise<Answer<{ items: RowView[] }>> {
  return book.ask(`/rows/${type}`);
}

function all(answer: Answer<{ items: RowView[] }>, pairs: (row: RowView) => Pair[]): Pair[] {
  return answer.ok ? answer.data.items.flatMap(pairs) : [];
}

/** What a pest or a crop is called in languages other than that of its name. */
function calledOf({ body }: RowView): readonly Said[] {
  return (body["called"] ?? []) as readonly Said[];
}

/** The lines of a checklist in each language in which somebody wrote them, the first for all. */
function itemsOf({ id, body }: RowView): Pair[] {
  const items = (body["items"] ?? []) as {
    id: string;
    says: Said[];
  }[];
  return items.flatMap((item) => [
    ...item.says.map(({ language, text }): Pair => [`item ${language} ${id}/${item.id}`, text]),
    [`item ${id}/${item.id}`, item.says[0]?.text] as const,
  ]);
}

export const names = new Names();

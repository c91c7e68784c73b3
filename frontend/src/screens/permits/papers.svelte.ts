/** Permits and rules, as the office has them, and writing them. */
import type { Answer } from "../../net/office";
import { speech } from "../../parts/speech.svelte";
import { book } from "../book.svelte";
import { names } from "../names.svelte";
import { Sheet } from "../sheet.svelte";
import type { Voice } from "./inwords";
import type { OwnBody, Papers, PermitBody, Row, RuleShape, Template } from "./shapes";

export { dropRow, saveRow } from "../rows/written";

interface Items<T> {
  readonly items: readonly T[];
}

export function papersSheet(): Sheet<Papers> {
  const sheet = new Sheet<Papers>("permits", fetched);
  void sheet.load();
  return sheet;
}

async function fetched(): Promise<Answer<Papers>> {
  const [permits, consignments, own, crops, pests, filling] = await Promise.all([
    book.ask<Items<Row<PermitBody>>>("/rows/permit"),
    book.ask<Items<Row>>("/rows/consignment"),
    book.ask<Items<Row<OwnBody>>>("/rows/due_rule"),
    book.ask<Items<Row>>("/rows/crop"),
    book.ask<Items<Row>>("/rows/pest"),
    book.ask<Items<Template> & { rules: readonly RuleShape[] }>("/templates"),
  ]);
  if (!permits.ok) return permits;
  if (!consignments.ok) return consignments;
  if (!own.ok) return own;
  if (!crops.ok) return crops;
  if (!pests.ok) return pests;
  if (!filling.ok) return filling;
  return {
    ok: true,
    data: {
      permits: permits.data.items,
      consignments: consignments.data.items,
      own: own.data.items,
      crops: crops.data.items,
      pests: pests.data.items,
      rules: filling.data.rules,
      templates: filling.data.items,
    },
  };
}

/** How the person who looks is told a rule. */
export function voice(): Voice {
  return {
    word: speech.word,
    join: (items) => speech.join(items),
    mark: speech.house.mark,
    nameOf: names.of,
  };
}

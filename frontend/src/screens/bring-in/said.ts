/** What a grower says of a spreadsheet of stock, and how it travels to the office. */
import type { Column, Order, Preview, Unknown } from "./shapes";

/** Of a name that nothing here bears: a row of its own. */
export const ADD = "+";

export interface Choices {
  /** What columns mean, by place; null where one is not taken. Those not named say it themselves. */
  readonly columns: Readonly<Record<string, Column | null>>;
  readonly order: Order | null;
  /** What a name in the file is, by what it names: the id of a row, or a new one. */
  readonly names: Readonly<Partial<Record<Column, Readonly<Record<string, string>>>>>;
  readonly sheet: string | null;
  readonly left_out: number;
}

export const NOTHING_SAID: Choices = {
  ...{ columns: {}, order: null, names: {}, sheet: null, left_out: 0 },
};

/** Say what a column means; what another column had before is not taken any more. */
export function meaning(
  said: Choices,
  shown: Pick<Preview, "columns">,
  at: number,
  column: Column | null,
): Choices {
  const others = shown.columns
    .filter((one) => one.at !== at && column !== null && one.field === column)
    .map((one) => [String(one.at), null] as const);
  const columns = { ...said.columns, ...Object.fromEntries(others), [String(at)]: column };
  return { ...said, columns, left_out: 0 };
}

/** Say what a name is; an empty id takes it back. */
export function named(said: Choices, { column, said: name }: Unknown, id: string): Choices {
  const others = Object.entries(said.names[column] ?? {}).filter(([one]) => one !== name);
  const mine = id === "" ? others : [...others, [name, id]];
  const names = { ...said.names, [column]: Object.fromEntries(mine) as Record<string, string> };
  return { ...said, names, left_out: 0 };
}

/** The names of which something was said, so that it can still be changed. */
export function answered(said: Choices): Unknown[] {
  return Object.entries(said.names).flatMap(([column, chosen]) =>
    Object.keys(chosen).map((name) => ({
      ...{ column: column as Column, said: name, rows: 0 },
      made: column === "crop" || column === "goods",
    })),
  );
}

export function query(
  said: Choices,
  name: string,
  more: Readonly<Record<string, string>> = {},
): string {
  const { order, sheet, ...rest } = said;
  const choices = JSON.stringify({
    ...rest,
    ...(order === null ? {} : { order }),
    ...(sheet === null ? {} : { sheet }),
  });
  return new URLSearchParams({ name, choices, ...more }).toString();
}

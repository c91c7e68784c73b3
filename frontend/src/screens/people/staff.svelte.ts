/** People, phones and what was written without a PIN, as the office has them. */
import type { Answer } from "../../net/office";
import type { components } from "../../net/api";
import { book } from "../book.svelte";
import { Sheet } from "../sheet.svelte";
import type { PersonBody, PersonRow } from "./people";
import type { Unconfirmed } from "./whose";

export type PhoneView = components["schemas"]["Phone"];

export interface Staff {
  readonly people: readonly PersonRow[];
  readonly phones: readonly PhoneView[];
  readonly unconfirmed: readonly Unconfirmed[];
}

interface Items<T> {
  readonly items: readonly T[];
}

/** Fetched anew by whoever opens one of these sheets. */
export function staffSheet(): Sheet<Staff> {
  const sheet = new Sheet<Staff>("staff", fetched);
  void sheet.load();
  return sheet;
}

async function fetched(): Promise<Answer<Staff>> {
  const [people, phones, looks] = await Promise.all([
    book.ask<Items<PersonRow>>("/rows/person"),
    book.ask<Items<PhoneView>>("/devices"),
    book.ask<{ unconfirmed: readonly Unconfirmed[] }>("/needs-a-look"),
  ]);
  if (!people.ok) return people;
  if (!phones.ok) return phones;
  if (!looks.ok) return looks;
  const { unconfirmed } = looks.data;
  return { ok: true, data: { people: people.data.items, phones: phones.data.items, unconfirmed } };
}

/** Write a person's row; `rev` is the revision that was on screen, 0 for somebody new. */
export function savePerson(id: string, rev: number, body: PersonBody): Promise<Answer<PersonRow>> {
  return book.tell<PersonRow>("PUT", `/rows/person/${encodeURIComponent(id)}`, { rev, body });
}

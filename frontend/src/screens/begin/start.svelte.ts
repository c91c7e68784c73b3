/** How far the beginning has come: what the server says, what stands in the form. */
import type { components } from "../../net/api";
import type { Answer, Trouble } from "../../net/office";
import { book } from "../book.svelte";
import { Draft } from "../draft.svelte";
import { names } from "../names.svelte";
import type { PersonRow } from "../people/people";
import { UNSAID, type Facts, type Said } from "./steps";

type Start = components["schemas"]["Start"];
type Backup = components["schemas"]["Backup"];

interface Items<T> {
  readonly items: readonly T[];
}

interface Row<T> {
  readonly id: string;
  readonly rev: number;
  readonly body: T;
}

export type NurseryRow = Row<Readonly<Record<string, unknown>> & { conditions?: boolean }>;
export type PlaceRow = Row<{ readonly name: string; readonly kind: string }>;

/** What the office last said, from one step to the next: each opens on it and asks anew. */
class Known {
  start = $state.raw<Start | null>(null);
  facts = $state.raw<Facts | null>(null);
  places = $state.raw<readonly PlaceRow[]>([]);
  nursery = $state.raw<NurseryRow | null>(null);
}

const known = new Known();

/** Make it while a component begins. */
export class Beginning {
  trouble = $state.raw<Trouble | null>(null);
  readonly draft = new Draft<Said>("begin", UNSAID);

  get start(): Start | null {
    return known.start;
  }

  get facts(): Facts | null {
    return known.facts;
  }

  get places(): readonly PlaceRow[] {
    return known.places;
  }

  get said(): Said {
    return this.draft.fields;
  }

  /** Whether the nursery here is held to conditions; without, no step speaks of any. */
  get conditions(): boolean {
    return known.nursery?.body.conditions ?? this.said.conditions ?? true;
  }

  readonly load = async (): Promise<void> => {
    const start = await book.ask<Start>("/begin");
    this.trouble = start.ok ? null : start.trouble;
    if (!start.ok) return;
    known.start = start.data;
    if (start.data.begun && book.isGrower) await this.look();
  };

  /** What the steps have left behind at the office so far. */
  async look(): Promise<void> {
    const [people, places, nurseries, phones, batches, backup, card] = await Promise.all([
      book.ask<Items<PersonRow>>("/rows/person"),
      book.ask<Items<PlaceRow>>("/rows/place"),
      book.ask<Items<NurseryRow>>("/rows/nursery"),
      book.ask<Items<{ revoked_at: string | null }>>("/devices"),
      book.ask<Items<object>>("/batches"),
      book.ask<Backup>("/backup"),
      book.ask<Items<object>>("/rows/emergency_card"),
    ]);
    known.places = of(places);
    known.nursery = of(nurseries)[0] ?? null;
    known.facts = {
      people: of(people),
      benches: of(places).filter(({ body }) => body.kind === "bench" || body.kind === "bed").length,
      phones: of(phones).filter(({ revoked_at }) => revoked_at === null).length,
      batches: of(batches).length,
      backedUp: backup.ok && isSafe(backup.data),
      card: of(card).length > 0,
    };
  }

  /** Begin the nursery with what was said, and be signed in. */
  async begin(password: string): Promise<boolean> {
    const { said } = this;
    const body = {
      ...{ name: said.name.trim(), zone: said.zone, language: said.language },
      ...{ country: said.country.trim(), decimal_mark: said.mark },
      ...{ conditions: said.conditions ?? true, grower: said.grower.trim() },
      ...{ email: said.email.trim(), password },
    };
    const answer = await book.tell("POST", "/begin", body);
    this.trouble = answer.ok ? null : answer.trouble;
    if (!answer.ok) return false;
    await this.came();
    return true;
  }

  /** There is a nursery now, and somebody is signed in to it. */
  async came(): Promise<void> {
    this.draft.done();
    book.trouble = null;
    await book.meet();
    await Promise.all([this.load(), names.learn()]);
  }
}

function of<T>(answer: Answer<Items<T>>): readonly T[] {
  return answer.ok ? answer.data.items : [];
}

function isSafe({ tested, place, may_choose }: Backup): boolean {
  return tested !== null && (place.chosen || !may_choose);
}

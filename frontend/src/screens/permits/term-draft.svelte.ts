/** A condition while somebody types it, and what was turned down of it. */
import type { Trouble } from "../../net/office";
import { draftOf, filled, turnedDown, type Draft, type Typed } from "./draft";
import type { RuleShape, Term } from "./shapes";

export interface Wrong {
  readonly field: string;
  readonly value: string | null;
}

export class TermDraft {
  readonly rules: readonly RuleShape[];
  rule = $state("");
  fields = $state.raw<Draft>({});
  since = $state<string | null>(null);
  source = $state("");
  reaches = $state(false);
  wrong = $state.raw<Wrong | null>(null);
  readonly #mark: string;
  readonly shape = $derived.by(() => this.rules.find(({ rule }) => rule === this.rule) ?? null);
  readonly #filled = $derived.by(() => this.shape && filled(this.shape, this.fields));
  readonly ready = $derived(
    this.shape !== null && this.since !== null && this.source.trim() !== "",
  );

  constructor(rules: readonly RuleShape[], term: Partial<Term>, mark: string) {
    this.rules = rules;
    this.#mark = mark;
    this.rule = term.rule ?? "";
    this.since = term.since ?? null;
    this.source = term.source ?? "";
    this.reaches = term.reaches_running ?? false;
    const shape = rules.find(({ rule }) => rule === term.rule);
    if (shape) this.fields = draftOf(shape, term.says ?? {}, mark);
  }

  choose(rule: string): void {
    const shape = this.rules.find((one) => one.rule === rule);
    this.rule = rule;
    this.fields = shape ? draftOf(shape, {}, this.#mark) : {};
    this.wrong = null;
  }

  set(field: string, value: Typed): void {
    this.fields = { ...this.fields, [field]: value };
    if (this.wrong?.field === field) this.wrong = null;
  }

  typed(field: string): string {
    const value = this.fields[field];
    return typeof value === "string" ? value.trim() : "";
  }

  /** The condition under an id; null where a field is missing or no figure, which is then told. */
  termAs(id: string): Term | null {
    const { says, missing, odd } = this.#filled ?? { says: {}, missing: ["rule"], odd: [] };
    const [first] = [...odd, ...missing];
    this.wrong = first === undefined ? null : { field: first, value: null };
    if (this.wrong !== null || this.since === null) return null;
    return {
      ...{ id, rule: this.rule, says, since: this.since, source: this.source.trim() },
      reaches_running: this.reaches,
    };
  }

  /** Say by its field what the office turned down; false where no field of this form is to blame. */
  turn(trouble: Trouble, id: string): boolean {
    const params = trouble.why === "trouble" ? trouble.params : undefined;
    if (params?.["term"] !== id) return false;
    this.wrong = turnedDown(params);
    return this.wrong !== null;
  }
}

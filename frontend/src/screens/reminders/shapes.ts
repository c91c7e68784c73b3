/** Reminders as the office tells of them. */
import type { components } from "../../net/api";

export interface Reminder {
  readonly id: string;
  readonly rule: string;
  readonly person: string;
  readonly person_name: string;
  readonly code: string;
  readonly params: Readonly<Record<string, unknown>>;
  readonly urgent: boolean;
  readonly subject: { readonly type: string | null; readonly id: string };
  readonly due_at: string;
  readonly state: string;
  readonly seen_at: string | null;
  readonly attempts: readonly {
    readonly channel: string;
    readonly state: string;
    readonly at: string;
  }[];
}

type Said = Readonly<Record<string, unknown>>;

export interface Told {
  readonly nursery: Said;
  readonly people: readonly {
    readonly person: string;
    readonly name: string;
    readonly role: string;
    readonly settings: Said;
    readonly in_force: Said;
    readonly address: string;
    readonly has_address: boolean;
    readonly push: boolean;
  }[];
}

export type CalendarView = components["schemas"]["CalendarShape"];
export type CalendarMade = components["schemas"]["CalendarMade"];
export type PushKey = components["schemas"]["PushKeyShape"];

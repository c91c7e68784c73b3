/** Reminders as the office tells of them. */
import type { components } from "../../net/api";

export type Reminder = components["schemas"]["ReminderShape"];
export type Told = components["schemas"]["ReminderSettings"];
export type CalendarView = components["schemas"]["CalendarShape"];
export type CalendarMade = components["schemas"]["CalendarMade"];
export type PushKey = components["schemas"]["PushKeyShape"];

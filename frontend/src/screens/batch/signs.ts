/** The sign that stands beside a record of each kind. */
import type { Reading } from "../../log/history";

const SIGNS: Readonly<Record<string, string>> = {
  ...{ received: "tray", taken_on: "tray", sown: "tray", emerged: "tray", stuck: "tray" },
  ...{ counted: "count", lost: "lost", settled: "lens", moved: "move", potted: "root" },
  ...{ split: "split", pricked: "split", joined: "bench", mixed: "cannot-tell" },
  ...{ relabelled: "tray", measured: "measure", stepped: "harden", plugged: "root" },
  ...{ found: "found", sampled: "lens", resulted: "paper", treated: "treat", told: "tell" },
  ...{ ordered: "paper", released: "release", inspected: "look-over", shown: "bag" },
  ...{ disposed: "bag", entered: "go-in", left: "go-out", read: "measure", dosed: "boots" },
  ...{ watered: "water", breached: "torn", repaired: "repair", cleaned: "wipe" },
  ...{ photographed: "photo", noted: "wrong-fix", skipped: "not-looked", planted: "plant" },
};
const LOOKS: Readonly<Record<string, string>> = {
  ...{ nothing: "nothing-found", found: "found", not_looked: "not-looked" },
};

export function signOf({ kind, body }: Pick<Reading, "kind" | "body">): string {
  const answer = typeof body["answer"] === "string" ? body["answer"] : "";
  if (kind === "looked") return LOOKS[answer] ?? "look-over";
  if (kind === "trapped") return answer === "not_readable" ? "wet-trap" : "trap";
  return SIGNS[kind] ?? "paper";
}

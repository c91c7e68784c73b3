/** What a file sums month by month, in words: readings, and the days that counted by them. */
import type { CountedDays, Readings } from "../../net/file";
import type { Key } from "../../words/catalogue";
import type { NameOf, Voice } from "../batch/telling";

export function monthOf(month: string, { say }: Voice): string {
  const [year = "", number = ""] = month.split("-");
  return say("file.month", { name: say(`date.month.${Number(number)}` as Key), year });
}

/** The figure with how far it went in the month; one that stood still is told once. */
export function spanOf({ what, low, high }: Readings, { say, word }: Voice): string {
  const unit = word(`unit.${what}`) ?? "";
  const told = (figure: number): string => [say("figure", { figure }), unit].join(" ").trim();
  const params = { what: word(`reading.${what}`) ?? what, low: told(low), high: told(high) };
  return say(low === high ? "file.reading_one" : "file.reading_span", params);
}

export function demandOf(demand: CountedDays, { say, word }: Voice, nameOf: NameOf): string {
  const { rule, of, wanted, source } = demand;
  const what = word(`reading.${of}`) ?? of;
  const told =
    rule === "generations"
      ? say("file.degree_days", {
          pest: nameOf("pest", of),
          wanted: say("figure", { figure: wanted }),
        })
      : wanted === null
        ? say("file.qualifying_share", { what })
        : say("file.qualifying", { what, n: wanted });
  return source === "" ? told : `${told} (${source})`;
}

/** An hour of the day as it is tapped on big keys: its figures, without the mark between them. */

/** `16:30`, or null where the clock has no such hour. `730` is half past seven. */
export function hourOf(figures: string): string | null {
  if (!/^\d{3,4}$/.test(figures)) return null;
  const four = figures.padStart(4, "0");
  const [hour, minute] = [four.slice(0, 2), four.slice(2)];
  return hour < "24" && minute < "60" ? `${hour}:${minute}` : null;
}

/** The figures of an hour. */
export function figuresOf(hour: string): string {
  return hour.replace(":", "");
}

/** What stands on the screen while it is tapped: a line for what is still to come. */
export function shownHour(figures: string): string {
  if (figures === "") return "–";
  return (
    hourOf(figures) ?? (figures.length > 2 ? `${figures.slice(0, 2)}:${figures.slice(2)}` : figures)
  );
}

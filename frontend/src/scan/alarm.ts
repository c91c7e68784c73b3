/** A mis-scan is felt and heard: a tray hums once, a place twice, what nobody knows three times. */
import type { What } from "../log/codes";

const HUMS: Readonly<Record<What | "nothing", { hertz: number; long: number; times: number }>> = {
  batch: { hertz: 165, long: 0.5, times: 1 },
  place: { hertz: 110, long: 0.25, times: 2 },
  nothing: { hertz: 140, long: 0.12, times: 3 },
};
const PAUSE = 0.12;

export function alarm(what: What | null): void {
  const hum = HUMS[what ?? "nothing"];
  shake(hum.long, hum.times);
  sound(hum.hertz, hum.long, hum.times);
}

function shake(long: number, times: number): void {
  const pattern = Array.from({ length: times }, () => [long * 1000, PAUSE * 1000]).flat();
  // Not every browser has it, whatever its types say.
  const vibrate = (navigator as { vibrate?: (pattern: number[]) => boolean }).vibrate;
  vibrate?.call(navigator, pattern.slice(0, -1));
}

function sound(hertz: number, long: number, times: number): void {
  if (typeof AudioContext === "undefined") return;
  const context = new AudioContext();
  const gain = new GainNode(context, { gain: 0 });
  const hum = new OscillatorNode(context, { type: "triangle", frequency: hertz });
  hum.connect(gain).connect(context.destination);
  for (let i = 0; i < times; i++) {
    const begin = context.currentTime + i * (long + PAUSE);
    // Faded in and out: a phone's speaker would click.
    gain.gain.setTargetAtTime(0.6, begin, 0.015);
    gain.gain.setTargetAtTime(0, begin + long, 0.015);
  }
  hum.start();
  hum.stop(context.currentTime + times * (long + PAUSE) + 0.1);
  hum.addEventListener("ended", () => void context.close());
}

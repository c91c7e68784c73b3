/** Whether a phone throws away what a page keeps, unless the app is on its home screen. */

export interface Browser {
  readonly userAgent: string;
  readonly maxTouchPoints: number;
  /** Opened from the home screen. */
  readonly standalone: boolean;
}

// A tab there may be emptied after a week without a visit. (sync protocol, section 3)
const MOST_IN_A_TAB = 20;

/** A tab on an iPhone or iPad. Tablets call themselves a desktop, but are touched by fingers. */
export function isTabThatForgets({ userAgent, maxTouchPoints, standalone }: Browser): boolean {
  if (standalone) return false;
  const phone = /\b(?:iPhone|iPad|iPod)\b/.test(userAgent);
  const tablet = /\bMacintosh\b/.test(userAgent) && maxTouchPoints > 1;
  return phone || tablet;
}

export function mustInstall(browser: Browser, unsent: number): boolean {
  return unsent > MOST_IN_A_TAB && isTabThatForgets(browser);
}

export function browserHere(): Browser {
  const { userAgent, maxTouchPoints } = navigator;
  const own = (navigator as { standalone?: boolean }).standalone === true;
  const standalone = own || matchMedia("(display-mode: standalone)").matches;
  return { userAgent, maxTouchPoints, standalone };
}

/** What a phone is called in the book; made once, when it joins. */
export function newInstall(): string {
  return `i-${crypto.randomUUID()}`;
}

/** What a person chose on this phone. Where the browser keeps nothing, the choice lasts a visit. */
export type Setting = "language" | "light" | "writer" | "drill" | "pins" | "push" | "glimpse";

export function chosen(setting: Setting): string | null {
  try {
    return localStorage.getItem(setting);
  } catch {
    return null;
  }
}

export function choose(setting: Setting, value: string): void {
  try {
    localStorage.setItem(setting, value);
  } catch {
    // Kept nowhere, shown all the same.
  }
}

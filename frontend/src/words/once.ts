/** Make each thing by its name when it is first asked for, and keep it. */
export function once<T>(make: (name: string) => T): (name: string) => T {
  const made = new Map<string, T>();
  return (name) => {
    const found = made.get(name) ?? make(name);
    made.set(name, found);
    return found;
  };
}

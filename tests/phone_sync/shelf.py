"""Reading what a phone keeps, straight from the browser's databases."""

from typing import Any

from playwright.sync_api import Page

READ = """async ([name, store]) => {
  const known = (await indexedDB.databases()).some((one) => one.name === name);
  if (!known) return null;
  const database = await new Promise((done, fail) => {
    const request = indexedDB.open(name);
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
  try {
    return await new Promise((done, fail) => {
      const request = database.transaction(store).objectStore(store).getAll();
      request.onsuccess = () => done(request.result);
      request.onerror = () => fail(request.error);
    });
  } finally {
    database.close();
  }
}"""


def outbox(page: Page) -> list[dict[str, Any]]:
    """Return the rows of the outbox, oldest first."""
    rows: list[dict[str, Any]] = page.evaluate(READ, ["outbox", "entries"]) or []
    return sorted(rows, key=lambda row: int(row["n"]))


def own(page: Page) -> dict[str, Any]:
    """Return what the phone keeps of itself."""
    kept = page.evaluate(READ, ["outbox", "own"]) or []
    found: dict[str, Any] = next(row for row in kept if "install" in row)
    return found


def lines(page: Page) -> list[dict[str, Any]]:
    """Return the lines of the copy in use."""
    found: list[dict[str, Any]] = page.evaluate(READ, [own(page)["copy"], "sheaves"]) or []
    return [line for sheaf in found for line in sheaf["lines"]]

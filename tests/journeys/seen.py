"""What holds of every sheet, whoever looks: asked of the page as it is drawn."""

import os
from pathlib import Path
from typing import Any

from axe_playwright_python.base import AxeResults
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    "resultTypes": ["violations"],
}
# Set to anything, it has journeys draw pictures into their folders, which takes its time.
PICTURES = "NURSERY_TEST_PICTURES"
LEAST_TARGET = 48
# So often a sheet may grow while it is looked at: what a slow machine reads comes in parts.
GROWS = 4
# WCAG 2.2 success criterion 1.4.6 (enhanced); large text would do with 4.5, ours does not.
LEAST_CONTRAST = 7.0

TOO_SMALL = """(least) => [...document.querySelectorAll('a, button, select, summary, input')]
  .filter((one) => one.checkVisibility() && !one.classList.contains('skip')
    && !one.disabled && getComputedStyle(one).clipPath === 'none')
  .map((one) => [one.textContent.trim(), one.getBoundingClientRect()])
  .filter(([, box]) => box.height < least - 0.5 || box.width < least - 0.5)
  .map(([text, box]) => `too small: ${text}: ${box.width} x ${box.height}`)"""

TOO_WIDE = "document.documentElement.scrollWidth - document.documentElement.clientWidth"

# Relative luminance and contrast ratio as WCAG 2.2 defines them; the ground is the nearest colour
# behind the text. Colours come as `rgb(r, g, b)` or `rgba(r, g, b, a)`.
TOO_PALE = """(least) => {
  const numbers = (colour) => colour.match(/[\\d.]+/g).map(Number);
  const light = (colour) => {
    const [r, g, b] = numbers(colour).slice(0, 3).map((part) => part / 255)
      .map((part) => part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4);
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ground = (one) => {
    for (let at = one; at; at = at.parentElement) {
      const colour = getComputedStyle(at).backgroundColor;
      const alpha = numbers(colour)[3] ?? 1;
      if (alpha === 1) return colour;
    }
    return 'rgb(255, 255, 255)';
  };
  const found = new Set();
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const one = texts.currentNode.parentElement;
    const text = texts.currentNode.textContent.trim();
    if (text === '' || !one.checkVisibility({ visibilityProperty: true })) continue;
    if (one.closest('.unseen, .skip, :disabled, script, style')) continue;
    const style = getComputedStyle(one);
    const ink = one.closest('svg') ? style.fill : style.color;
    if (!/^rgb/.test(ink)) continue;
    const [a, b] = [light(ink), light(ground(one))].sort((x, y) => y - x);
    const ratio = (a + 0.05) / (b + 0.05);
    if (ratio < least) found.add(`too pale, ${ratio.toFixed(1)}: ${text.slice(0, 40)}`);
  }
  return [...found];
}"""


# Waits until a page has not changed for a tenth of a second, or two seconds have gone.
RESTS = """() => new Promise((rests) => {
  const done = () => { seen.disconnect(); clearTimeout(last); rests(); };
  const last = setTimeout(done, 2000);
  let soon = setTimeout(done, 100);
  const seen = new MutationObserver(() => { clearTimeout(soon); soon = setTimeout(done, 100); });
  seen.observe(document.body,
    { attributes: true, characterData: true, childList: true, subtree: true });
})"""


def rests(page: Page) -> None:
    """Wait until what is drawn stands: a sheet asks the disk and the office after it is open."""
    page.wait_for_load_state("networkidle")
    page.evaluate(RESTS)


def wrongs(page: Page) -> list[str]:
    """Return what axe, the size of targets and the contrast of letters say against a sheet.

    It is asked of a screen as long as the sheet: on a shorter one the bars at the foot lie over
    what a person scrolls up from under them. A sheet that grew meanwhile is asked again.
    """
    size = page.viewport_size
    assert size is not None
    wrong: list[str] = []
    try:
        for _ in range(GROWS):
            tall = max(size["height"], length(page))
            page.set_viewport_size({"width": size["width"], "height": tall})
            wrong = found(page)
            if not wrong or length(page) <= tall:
                break
            rests(page)
        return wrong
    finally:
        page.set_viewport_size(size)


def length(page: Page) -> int:
    return int(page.evaluate("document.documentElement.scrollHeight"))


def violations(page: Page) -> list[str]:
    """Return axe's report, or nothing. It is put into a page once, and tells no more than that:
    what it found right is ten times as much, and takes longer to hand over than to find."""
    if not page.evaluate("'axe' in globalThis"):
        page.evaluate(Axe().axe_script)
    asked = "async (rules) => ({ violations: (await axe.run(rules)).violations })"
    told: Any = AxeResults(page.evaluate(asked, RULES))
    return [told.generate_report()] if told.violations_count else []


def found(page: Page) -> list[str]:
    wrong = violations(page)
    wrong += page.evaluate(TOO_SMALL, LEAST_TARGET)
    wrong += page.evaluate(TOO_PALE, LEAST_CONTRAST)
    wide = page.evaluate(TOO_WIDE)
    return [*wrong, f"{wide} px too wide"] if wide else wrong


def settings(page: Page, *, language: str, light: str) -> None:
    """Choose a language and a light as a person does."""
    page.locator("summary").first.click()
    page.locator("details select").first.select_option(label=language)
    page.locator("details select").nth(1).select_option(value=light)
    page.locator("summary").first.click()


def picture(page: Page, folder: Path, name: str) -> None:
    """Keep the sheet as it is drawn, for somebody who wants to look at it and says so."""
    if os.environ.get(PICTURES):
        page.screenshot(path=folder / f"{name}.png", full_page=True)

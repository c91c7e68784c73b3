"""A few strokes of SVG, as the drawings of a printed page need them: black on white, no scripts."""

from collections.abc import Sequence
from xml.sax.saxutils import escape

WIDTH = 694
# How wide a letter is at most, on average, in the face and size of the drawings' words.
LETTER = 6.6
_FACE = "font-family='Atkinson Hyperlegible Next, sans-serif' font-size='12.5'"


def words(x: float, y: float, text: str, *, bold: bool = False, at: str = "start") -> str:
    """Set words whose start, middle or end stands at `x`."""
    weight = " font-weight='700'" if bold else ""
    anchor = f" text-anchor='{at}'"
    place = f"x='{x:.1f}' y='{y:.1f}'"
    return f"<text {place} {_FACE}{weight}{anchor} fill='#000' stroke='none'>{escape(text)}</text>"


def row_of_words(said: Sequence[tuple[float, str]], y: float, *, bold: bool = False) -> str:
    """Set words at their places from the right, so that none runs into the next or off the edge."""
    free, drawn = float(WIDTH), ""
    for wanted, text in reversed(said):
        wide = len(text) * LETTER
        if wanted + wide >= free:
            drawn += words(free, y, text, bold=bold, at="end")
            free -= wide + 2 * LETTER
        else:
            drawn += words(wanted, y, text, bold=bold)
            free = wanted - 2 * LETTER
    return drawn


def path(d: str, width: float, more: str = "") -> str:
    return f"<path d='{d}' stroke-width='{width}' {more}/>"


def box(x: float, y: float, wide: float, tall: float, edge: str) -> str:
    return f"<rect x='{x:.1f}' y='{y:.1f}' width='{wide:.1f}' height='{tall:.1f}' {edge}/>"


def picture(height: float, drawn: Sequence[str]) -> str:
    return (
        f"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {WIDTH} {height:.0f}' "
        f"width='{WIDTH}' height='{height:.0f}' fill='none' stroke='#000'>{''.join(drawn)}</svg>"
    )

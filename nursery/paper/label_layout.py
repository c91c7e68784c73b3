"""Where sign, lines and code stand on one label, in mm from its upper left corner.

The code is a QR symbol (ISO/IEC 18004) at error level Q, which repairs a quarter of it: a wet or
torn corner, a drop on the pouch. Level M would not make it smaller for the ids that phones make
(version 2 both), level H would. Its modules are 0.5 to 1 mm wide. A phone's camera that takes in 60
degrees over 1920 pixels sees 0.15 mm to a pixel at a hand's distance of 25 cm, so the smallest
module has three pixels: a decoder wants two, and the film of a pouch blurs one away. Larger than 1
mm would only take the room of the word. (Common practice, no source; the figures of the camera are
from memory.)
"""

from dataclasses import dataclass

from nursery.domain.reference import LabelSize, Stock

LEAST_MODULE, MOST_MODULE = 0.5, 1.0
QUIET = 4  # modules of white on each side, ISO/IEC 18004
# Office printers leave the outer 4 mm of a sheet white; printers of rolls hardly anything.
SHEET_PAD, ROLL_PAD = 4.0, 2.0
LINE = 1.24  # height of a line by the size of its letters
LEAST_LETTER, MOST_LETTER = 1.95, 3.9  # 5.5 and 11 pt
SIGN_SHARE, REST_SHARE = 0.55, 0.40
# A tag that is higher than so many widths stands in the medium: its foot is left white. (Common
# practice, no source.)
MOST_WIDTHS_HIGH = 2.2


@dataclass(frozen=True, slots=True)
class Room:
    """A rectangle, in mm."""

    x: float
    y: float
    width: float
    height: float

    def as_json(self) -> dict[str, float]:
        return {
            "x": round(self.x, 3),
            "y": round(self.y, 3),
            "width": round(self.width, 3),
            "height": round(self.height, 3),
        }


@dataclass(frozen=True, slots=True)
class Lay:
    """The rooms of one label; `letter` is the size of its lines in mm, for `many` there is room."""

    sign: Room
    lines: Room
    code: Room
    module: float
    letter: float
    many: int


def lay(size: LabelSize, modules: int, lines: int) -> Lay | None:
    """Return the layout of a label with a code of so many modules a side and up to so many lines.

    None where the code's modules would be finer than can be read.
    """
    pad = ROLL_PAD if size.stock is Stock.ROLL else SHEET_PAD
    wide = size.width_mm >= size.height_mm
    # The code keeps half of a wide label, and somewhat less than half of a high one.
    high = min(size.height_mm, MOST_WIDTHS_HIGH * size.width_mm)
    room = (size.width_mm / 2, size.height_mm) if wide else (size.width_mm, 0.45 * high)
    module = min(
        MOST_MODULE,
        min(room) / (modules + 2 * QUIET),
        (min(size.width_mm, size.height_mm) - 2 * pad) / modules,
    )
    if module < LEAST_MODULE:
        return None
    return (_beside if wide else _below)(size, pad, (module, modules), lines)


def _beside(size: LabelSize, pad: float, code: tuple[float, int], lines: int) -> Lay:
    module, modules = code
    side, quiet = module * modules, module * QUIET
    left = size.width_mm - max(quiet, pad) - side
    width = left - quiet - pad
    height = size.height_mm - 2 * pad
    sign = Room(pad, pad, width, height * SIGN_SHARE)
    rest = Room(pad, pad + height * (1 - REST_SHARE), width, height * REST_SHARE)
    where = Room(left, (size.height_mm - side) / 2, side, side)
    return _filled(sign, rest, where, module, lines)


def _below(size: LabelSize, pad: float, code: tuple[float, int], lines: int) -> Lay:
    module, modules = code
    side, quiet = module * modules, module * QUIET
    top = min(size.height_mm, MOST_WIDTHS_HIGH * size.width_mm) - max(quiet, pad) - side
    width = size.width_mm - 2 * pad
    height = top - quiet - pad
    sign = Room(pad, pad, width, min(height * 0.6, width * 0.7))
    begin = pad + sign.height + 0.06 * height
    rest = Room(pad, begin, width, top - quiet - begin)
    where = Room((size.width_mm - side) / 2, top, side, side)
    return _filled(sign, rest, where, module, lines)


def _filled(sign: Room, rest: Room, code: Room, module: float, lines: int) -> Lay:
    many = max(0, min(lines, int(rest.height / (LEAST_LETTER * LINE))))
    letter = min(MOST_LETTER, rest.height / (max(1, many) * LINE))
    return Lay(sign, rest, code, module, letter, many)

"""Planting days as the office judges them: the phone's twin is held to every one of them.

`python -m tests.domain.planting_scenes` writes the vectors anew.
"""

import json
from collections.abc import Iterator
from dataclasses import asdict, replace
from typing import Any

from nursery.domain.kinds.shape import Count, Name
from nursery.domain.planting import Block, Day, Levels, Odds, Plants, checks, verdict
from nursery.domain.reason import Reason
from nursery.domain.reference import USUAL_LEVELS
from nursery.domain.toughening import Advice, Doing, Step
from tests.steps import ROOT

FILE = ROOT / "tests/vectors/planting.json"
OPEN, HALF = Step(Name("open"), 0), Step(Name("half"), 50)
DONE = Advice(Doing.DONE, OPEN, ())
# The acceptance story, 9 March.
BLOCKS = (
    Block(Name("TR3"), 72, 72, 95, 80),
    Block(Name("TR4"), 72, 72, 90, 80),
    Block(Name("TR5"), 70, 70, 40, 80),
)
PLANTS = Plants(214, released=241, toughened=DONE, full_weeks=6)
DAY = Day(22, 4, 0.35, 31, 19, 6, 6)

OF_PLANTS: dict[str, Plants] = {
    "the story": PLANTS,
    "no law holds them": replace(PLANTS, released=None),
    "fewer are released": replace(PLANTS, released=213),
    "held": replace(PLANTS, held=True),
    "nobody may go in": replace(PLANTS, reentry=True),
    "no program": replace(PLANTS, toughened=None),
    "burnt": replace(PLANTS, toughened=Advice(Doing.BACK, HALF, (Reason("toughening_scorch"),))),
    "still in the shade": replace(PLANTS, toughened=Advice(Doing.STAY, HALF, ())),
    "done but asked": replace(PLANTS, toughened=Advice(Doing.DONE, OPEN, (Reason("unseen"),))),
    "nine of ten fit": replace(PLANTS, fit=193),
    "fewer fit": replace(PLANTS, fit=192),
    "too few fit": replace(PLANTS, fit=160),
    "pots just full": replace(PLANTS, full_weeks=0),
    "pots not known": replace(PLANTS, full_weeks=None),
}
OF_DAYS: dict[str, Day] = {
    **{f"wet to {cm}": replace(DAY, wet_to_cm=cm) for cm in (None, 9.9, 10, 19.9, 20)},
    **{f"{n} wet days": replace(DAY, wet_days_ahead=n) for n in (None, 0, 1, 2)},
    **{f"risk {x}": replace(DAY, dry_spell_risk=x) for x in (None, 0.29, 0.3, 0.5, 0.51)},
    **{f"high {c}": replace(DAY, high_c=c) for c in (None, 31.9, 32, 35, 35.1)},
    **{f"wind {kmh}": replace(DAY, wind_kmh=kmh) for kmh in (29.9, 30, 40, 40.1)},
    "odds of years": replace(DAY, dry_spell_odds=Odds(30, invented=False)),
    "odds of invented years": replace(DAY, dry_spell_odds=Odds(12, invented=True)),
    **{f"{n} days left": replace(DAY, days_left=n) for n in (None, 8, 7, 3, 2)},
    **{f"{n} people": replace(DAY, people=n) for n in (None, 5, 6)},
    "people wanted by nobody": replace(DAY, people_wanted=None),
}
OF_LEVELS: dict[str, Levels] = {
    "other levels": Levels(25, 12, Count(5), 3, 0.36, 0.4, 30, 31, 10, 20, 1, 0.5, 0.5),
    "levels of days": Levels(days_go=Count(19), days_wait=Count(2)),
}
OF_BLOCKS: dict[str, tuple[Block, ...]] = {
    "no blocks": (),
    "pits not counted": (Block(Name("TR3"), 72),),
    "all but one pit": (Block(Name("TR3"), 10, 9),),
    "too few pits": (Block(Name("TR3"), 10, 7),),
    "a row that nobody measured": (Block(Name("TR3"), 10, 10, None, 80),),
}
SIGNED: tuple[tuple[str, ...], ...] = (
    (),
    ("dry_spell", "pots_full"),
    ("dry_spell", "pots_full", "nurse_row:TR5"),
    ("released", "holds", "reentry", "nurse_row"),
)


def _asked(
    name: str, plants: Plants, day: Day, blocks: tuple[Block, ...], levels: Levels = USUAL_LEVELS
) -> dict[str, Any]:
    found = checks(plants, day, blocks, levels)
    told = None if plants.toughened is None else {
        "doing": plants.toughened.doing.value,
        "step": plants.toughened.to.id,
        "shade": plants.toughened.to.shade_percent,
        "reasons": [one.as_json() for one in plants.toughened.reasons],
    }  # fmt: skip
    return {
        "name": name,
        "plants": {**asdict(replace(plants, toughened=None)), "toughened": told},
        "day": asdict(day),
        "blocks": [asdict(block) for block in blocks],
        "levels": asdict(levels),
        "checks": [
            {
                "what": one.what,
                "block": one.block,
                "key": one.key,
                "colour": one.colour.value,
                "params": one.params,
                "may_be_signed": one.may_be_signed,
            }
            for one in found
        ],
        "verdicts": [
            {
                "signed": list(signed),
                "all": verdict(found, signed).value,
                "blocks": {block.id: verdict(found, signed, block.id).value for block in blocks},
            }
            for signed in SIGNED
        ],
    }


def scenes() -> Iterator[dict[str, Any]]:
    for name, plants in OF_PLANTS.items():
        yield _asked(name, plants, DAY, BLOCKS)
    for name, day in OF_DAYS.items():
        yield _asked(name, PLANTS, day, BLOCKS)
    for name, blocks in OF_BLOCKS.items():
        yield _asked(name, PLANTS, DAY, blocks)
    for name, levels in OF_LEVELS.items():
        yield _asked(name, PLANTS, replace(DAY, wind_kmh=15), BLOCKS, levels)


def text() -> str:
    return "[\n" + ",\n".join(json.dumps(scene) for scene in scenes()) + "\n]\n"


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")

"""The rules of the trade: pure, without clock, chance or I/O.

Read in this order: `entry` (what a person writes), `kinds` (the bodies), `timeline` (which entries
stand), `batch` and `place` (what a subject is now), `ledger` (where every plant went), `doubts`
(what needs a look), then `terms`, `quarantine`, `exposure`, `checks` and `gates` (what follows).
RULES.md numbers every rule and names its source.
"""

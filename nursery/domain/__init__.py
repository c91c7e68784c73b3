"""The rules of the trade: pure, without clock, chance or I/O.

Read in this order: `entry` (what a person writes), `kinds` (the bodies), `admission` (what becomes
of a text), `timeline` (which entries stand), `fold` with `batch` and `place` (what a subject is
now), `ledger` and `families` (where every plant went), `doubts` (what needs a look), `reference`
(people, places, permits), `terms`; then what follows from all of it: `book`, `quarantine`,
`exposure`, `checks`, `gates`. RULES.md numbers every rule and names its source.
"""

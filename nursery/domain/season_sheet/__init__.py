"""The season sheet: when each consignment can be planted, at what odds, and what a delay costs.

* `sky`: what weather is on record, and whether it makes odds
* `kin`: where plants were before a split
* `growth`: what was measured, against what the crop's profile asks
* `when`: from the day on which the law lets go to the planting day
* `delays`: the same again for each week that the release slips
* `sheet`: all of it, in the JSON that the sheet is drawn from

Odds and forecasts are worked out elsewhere, from arrays, and come in as they were stored.
"""

"""Reminders: which there are, when each falls, and what happens to it until somebody has seen it.

Pure: no clock, no channel. Read `wall`, `quiet`, `figures`, `occurrence`, then `told`, `of_checks`,
`of_book`, `plan` and `steps`. Rules M-1 to M-8; how each
attempt is kept is M-9, and what phones count down by themselves M-10.
"""

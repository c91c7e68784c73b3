"""The demo: one invented case, told day by day, and played through the public API alone.

`frame` holds what stands before the first day, `day_*` what happens on each, as plain lists of
steps; `play` turns steps into what phones and the office send. A later day is one more list.
"""

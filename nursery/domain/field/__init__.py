"""Positions in the field: who stands in them, how many live, and which holes are worth a plant."""

"""The release file: everything that an inspector asks of one consignment, as one value.

In order: `told` (the lines of the feed that speak of it), `looks` (its weeks), `changes` (what was
corrected), `facts` (the whole).
"""

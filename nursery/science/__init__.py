"""The trade's computations: pure functions over numbers and arrays.

Every function gives its units, its valid range, its errors and its source. A bad scalar is
refused with a `ValueError` that names argument, value and range; in arrays NaN means missing
and passes through. Nothing here reads a clock, a file or a database.
"""

"""Stock that stands here already, out of a file: what each row would become, and what is amiss.

Rows come in as records of the days and places that they name (rules I-4 to I-9). Nothing here
reads a file or writes anything: cells go in, a plan comes out.
"""

from nursery.domain.stock_file.fault import CODES, Fault
from nursery.domain.stock_file.fields import NEEDED, Field, Sheet, Wording, taken_as
from nursery.domain.stock_file.here import Here
from nursery.domain.stock_file.plan import ADD, Choices, Plan, plan
from nursery.domain.stock_file.row import Incoming

__all__ = [
    "ADD",
    "CODES",
    "NEEDED",
    "Choices",
    "Fault",
    "Field",
    "Here",
    "Incoming",
    "Plan",
    "Sheet",
    "Wording",
    "plan",
    "taken_as",
]

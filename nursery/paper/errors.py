"""Every way in which something cannot be put on paper.

* Refused
  - NothingToPrint    neither a batch nor a place was named
  - LabelsTooMany     more labels than one file takes
  - LabelsSkipped     fewer labels lie on a sheet than are said to be used
  - LabelLacks        a batch that bears no label yet
  - NotHeld           a batch or place that nothing holds, and a label is to say that it is held
  - LabelTooSmall     a label on which a code would have too fine modules to be read
"""

from nursery.services.errors import Refused


class NothingToPrint(Refused):
    code = "nothing_to_print"
    status = 422


class LabelsTooMany(Refused):
    code = "labels_too_many"
    status = 422

    def __init__(self, value: int, most: int) -> None:
        super().__init__(value=value, most=most)


class LabelsSkipped(Refused):
    code = "labels_skipped"
    status = 422

    def __init__(self, value: int, on_sheet: int) -> None:
        super().__init__(value=value, on_sheet=on_sheet)


class LabelLacks(Refused):
    code = "label_lacks"
    status = 422

    def __init__(self, ident: str) -> None:
        super().__init__(value=ident)


class LabelTooSmall(Refused):
    code = "label_too_small"
    status = 422

    def __init__(self, word: str, width_mm: float, height_mm: float) -> None:
        super().__init__(value=word, width=width_mm, height=height_mm)


class NotHeld(Refused):
    code = "not_held"
    status = 422

    def __init__(self, word: str) -> None:
        super().__init__(value=word)

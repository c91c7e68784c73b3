"""Of traces, and of plants that go from one nursery to another."""

from nursery.services.errors.refused import Refused


class NothingToHold(Refused):
    code = "nothing_to_hold"
    status = 422


class HandoverUnreadable(Refused):
    code = "handover_unreadable"
    status = 422


class HandoverAltered(Refused):
    code = "handover_altered"
    status = 422


class PlantsThere(Refused):
    code = "plants_there"
    status = 409

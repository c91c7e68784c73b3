"""Of a nursery that begins."""

from nursery.services.errors.refused import Refused


class NameUnusable(Refused):
    code = "name_unusable"
    status = 422


class NurseryThere(Refused):
    code = "nursery_there"
    status = 409


class ZoneUnknown(Refused):
    code = "zone_unknown"
    status = 422


class LanguageUnknown(Refused):
    code = "language_unknown"
    status = 422

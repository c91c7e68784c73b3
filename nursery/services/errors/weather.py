"""Of files of weather."""

from nursery.services.errors.refused import Refused


class WeatherTooLarge(Refused):
    code = "weather_too_large"
    status = 413

    def __init__(self, size: int, most: int) -> None:
        super().__init__(value=size, most=most)


class WeatherUnusable(Refused):
    code = "weather_unusable"
    status = 422

    def __init__(self, faults: int) -> None:
        super().__init__(n=faults)


class WeatherContradicts(Refused):
    code = "weather_contradicts"
    status = 409

    def __init__(self, on: str, measure: str, kept: float | None, new: float) -> None:
        super().__init__(on=on, measure=measure, kept=kept, value=new)

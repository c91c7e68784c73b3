"""Weather of many years, and what is worked out from it and from measurements."""

from django.db import models

from nursery.store.models.book import NurseryRow


class WeatherSeriesRow(models.Model):
    """Where days of weather come from; `invented` ones are never told as measured."""

    nursery = models.ForeignKey(NurseryRow, models.CASCADE)
    ident = models.CharField(max_length=64)
    name = models.CharField(max_length=120)
    source = models.TextField(blank=True)
    invented = models.BooleanField(default=False)
    sha256 = models.CharField(max_length=64, blank=True)
    taken_at = models.DateTimeField()
    taken_by = models.CharField(max_length=64, blank=True)

    class Meta:
        db_table = "weather_series"
        constraints = [
            models.UniqueConstraint(fields=["nursery", "ident"], name="weather_series_once")
        ]


class WeatherYearRow(models.Model):
    """The days of one year as JSON: of each measure a list by day of the year, null if missing."""

    nursery = models.ForeignKey(NurseryRow, models.CASCADE, db_index=False)
    series = models.CharField(max_length=64)
    year = models.IntegerField()
    text = models.TextField()

    class Meta:
        db_table = "weather_year"
        constraints = [
            models.UniqueConstraint(fields=["nursery", "series", "year"], name="weather_year_once")
        ]


class ForecastRow(models.Model):
    """What a job worked out, dated by a line of the feed; `stale_from` as of every kept state."""

    nursery = models.ForeignKey(NurseryRow, models.CASCADE, db_index=False)
    kind = models.CharField(max_length=40)
    subject = models.CharField(max_length=64, blank=True)
    made_at = models.DateTimeField()
    as_of_seq = models.BigIntegerField()
    stale_from = models.BigIntegerField(null=True)
    text = models.TextField()

    class Meta:
        db_table = "forecast"
        constraints = [
            models.UniqueConstraint(fields=["nursery", "kind", "subject"], name="forecast_once")
        ]

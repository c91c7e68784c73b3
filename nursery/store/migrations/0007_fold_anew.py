"""Growth, toughening, propagation and what was sent are kept with the states now."""

from django.db import migrations

from nursery.store.migrations._anew import FOLD_ANEW


class Migration(migrations.Migration):
    dependencies = [("store", "0006_weather_and_forecasts")]

    operations = [FOLD_ANEW]

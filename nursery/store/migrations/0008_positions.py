"""Rows keep who stands in their positions now, and batches what is out to be planted."""

from django.db import migrations

from nursery.store.migrations._anew import FOLD_ANEW


class Migration(migrations.Migration):
    dependencies = [("store", "0007_fold_anew")]

    operations = [FOLD_ANEW]

"""The feed refuses UPDATE and DELETE, but for erasure."""

from django.db import migrations

from nursery.store import append_only


class Migration(migrations.Migration):
    dependencies = [("store", "0001_book")]

    operations = [migrations.RunPython(append_only.migrate)]

"""How long a backup took to be brought back."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("store", "0002_append_only")]

    operations = [
        migrations.AddField("backuprow", "trial_seconds", models.FloatField(null=True)),
    ]

"""What became of each photo that came whole, and how many a backup holds."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("store", "0008_positions")]

    operations = [
        migrations.CreateModel(
            name="PhotoRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("sha256", models.CharField(max_length=64)),
                ("bytes", models.BigIntegerField()),
                ("came_at", models.DateTimeField()),
                ("state", models.CharField(default="new", max_length=16)),
                ("fault", models.CharField(blank=True, max_length=40)),
                ("copies", models.JSONField(default=dict)),
                ("taken_at", models.DateTimeField(null=True)),
                ("safe_at", models.DateTimeField(null=True)),
                ("looked_at", models.DateTimeField(null=True)),
                (
                    "nursery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, to="store.nurseryrow"
                    ),
                ),
            ],
            options={
                "db_table": "photo",
                "constraints": [
                    models.UniqueConstraint(fields=("nursery", "sha256"), name="photo_once")
                ],
            },
        ),
        migrations.AddField("BackupRow", "photos", models.IntegerField(default=0)),
        migrations.AddField("BackupRow", "photos_lacking", models.IntegerField(default=0)),
    ]

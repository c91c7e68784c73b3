"""Photos on their way from a phone."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("store", "0004_reading_links")]

    operations = [
        migrations.CreateModel(
            "UploadRow",
            [
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("sha256", models.CharField(max_length=64)),
                ("length", models.BigIntegerField()),
                ("offset", models.BigIntegerField(default=0)),
                ("told", models.TextField()),
                ("ends_at", models.DateTimeField()),
                ("nursery", models.ForeignKey("store.NurseryRow", models.CASCADE)),
            ],
            {
                "db_table": "upload",
                "constraints": [
                    models.UniqueConstraint(fields=["nursery", "sha256"], name="upload_once")
                ],
            },
        ),
    ]

"""Links by which somebody from the authority reads, and what was read by them."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("store", "0003_trial_seconds")]

    operations = [
        migrations.CreateModel(
            "LinkRow",
            [
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("ident", models.CharField(max_length=64)),
                ("name", models.CharField(max_length=120)),
                ("secret_hash", models.CharField(max_length=64, unique=True)),
                ("made_at", models.DateTimeField()),
                ("ends_at", models.DateTimeField()),
                ("ended_at", models.DateTimeField(null=True)),
                ("nursery", models.ForeignKey("store.NurseryRow", models.CASCADE)),
            ],
            {
                "db_table": "link",
                "constraints": [
                    models.UniqueConstraint(fields=["nursery", "ident"], name="link_once")
                ],
            },
        ),
        migrations.CreateModel(
            "LinkReadRow",
            [
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("link", models.CharField(max_length=64)),
                ("at", models.DateTimeField()),
                ("address", models.CharField(max_length=300)),
                ("nursery", models.ForeignKey("store.NurseryRow", models.CASCADE)),
            ],
            {
                "db_table": "link_read",
                "indexes": [
                    models.Index(fields=["nursery", "link", "at"], name="link_read_by_link")
                ],
            },
        ),
    ]

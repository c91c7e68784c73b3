"""Limits for whoever knocks, the list of who looked at what, and what of the feed is erasable."""

from django.db import migrations, models

from nursery.store import append_only


class Migration(migrations.Migration):
    dependencies = [("store", "0011_push_and_calendar")]

    operations = [
        migrations.DeleteModel("SignInTry"),
        migrations.CreateModel(
            "LimitRow",
            [
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("what", models.CharField(max_length=24)),
                ("who", models.CharField(max_length=64)),
                ("used", models.IntegerField(default=0)),
                ("since", models.DateTimeField()),
                ("shut_until", models.DateTimeField(null=True)),
            ],
            {
                "db_table": "limit_used",
                "constraints": [models.UniqueConstraint(fields=["what", "who"], name="limit_once")],
                "indexes": [models.Index(fields=["since"], name="limit_by_age")],
            },
        ),
        migrations.CreateModel(
            "AccessRow",
            [
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("at", models.DateTimeField()),
                ("did", models.CharField(max_length=24)),
                ("role", models.CharField(max_length=16, blank=True)),
                ("ident", models.CharField(max_length=64, blank=True)),
                ("person", models.CharField(max_length=64, blank=True)),
                ("of", models.CharField(max_length=300, blank=True)),
                (
                    "nursery",
                    models.ForeignKey("store.NurseryRow", models.DO_NOTHING, db_index=False),
                ),
            ],
            {
                "db_table": "access",
                "indexes": [
                    models.Index(fields=["nursery", "-id"], name="access_latest"),
                    models.Index(fields=["nursery", "person", "-id"], name="access_by_person"),
                ],
            },
        ),
        migrations.AddField("InstallRow", "wrong_pins", models.JSONField(default=dict)),
        migrations.RunPython(append_only.migrate_again),
    ]

"""Browsers that take pushes, addresses of calendars, and what calendars were told last."""

from django.db import migrations, models

KEY = models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")


class Migration(migrations.Migration):
    dependencies = [("store", "0010_reminders")]

    operations = [
        migrations.CreateModel(
            "PushRow",
            [
                ("id", KEY.clone()),
                ("person", models.CharField(max_length=64)),
                ("device", models.CharField(max_length=64)),
                ("endpoint", models.TextField()),
                ("endpoint_hash", models.CharField(max_length=64)),
                ("p256dh", models.CharField(max_length=100)),
                ("auth", models.CharField(max_length=40)),
                ("made_at", models.DateTimeField()),
                ("gone_at", models.DateTimeField(null=True)),
                ("gone_why", models.CharField(blank=True, max_length=40)),
                ("nursery", models.ForeignKey("store.NurseryRow", models.CASCADE)),
            ],
            {
                "db_table": "push",
                "constraints": [
                    models.UniqueConstraint(
                        fields=["nursery", "person", "endpoint_hash"], name="push_once"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            "CalendarLinkRow",
            [
                ("id", KEY.clone()),
                ("ident", models.CharField(max_length=64)),
                ("name", models.CharField(max_length=120)),
                ("person", models.CharField(blank=True, max_length=64)),
                ("language", models.CharField(max_length=8)),
                ("secret_hash", models.CharField(max_length=64, unique=True)),
                ("made_at", models.DateTimeField()),
                ("ended_at", models.DateTimeField(null=True)),
                ("read_at", models.DateTimeField(null=True)),
                ("asked_since", models.DateTimeField(null=True)),
                ("asked", models.IntegerField(default=0)),
                ("nursery", models.ForeignKey("store.NurseryRow", models.CASCADE)),
            ],
            {
                "db_table": "calendar_link",
                "constraints": [
                    models.UniqueConstraint(fields=["nursery", "ident"], name="calendar_link_once")
                ],
            },
        ),
        migrations.CreateModel(
            "CalendarRow",
            [
                (
                    "nursery",
                    models.OneToOneField(
                        "store.NurseryRow", models.CASCADE, primary_key=True, serialize=False
                    ),
                ),
                ("text", models.TextField()),
            ],
            {"db_table": "calendar"},
        ),
    ]

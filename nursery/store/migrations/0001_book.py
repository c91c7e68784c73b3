"""The tables of the book, and what follows from it."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):
    initial = True

    dependencies = []

    operations = [
        migrations.CreateModel(
            name="Account",
            fields=[
                ("password", models.CharField(max_length=128, verbose_name="password")),
                (
                    "last_login",
                    models.DateTimeField(blank=True, null=True, verbose_name="last login"),
                ),
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("email", models.EmailField(max_length=254, unique=True)),
                ("name", models.CharField(max_length=120)),
                ("language", models.CharField(default="en", max_length=8)),
                ("is_active", models.BooleanField(default=True)),
                ("is_operator", models.BooleanField(default=False)),
            ],
            options={
                "abstract": False,
            },
        ),
        migrations.CreateModel(
            name="BackupRow",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("file", models.CharField(max_length=300)),
                ("made_at", models.DateTimeField()),
                ("tested_at", models.DateTimeField(null=True)),
                ("heads", models.JSONField(default=dict)),
                ("bytes", models.BigIntegerField(default=0)),
                ("fault", models.TextField(blank=True)),
            ],
            options={
                "db_table": "backup",
            },
        ),
        migrations.CreateModel(
            name="BeatRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=40, unique=True)),
                ("at", models.DateTimeField()),
            ],
            options={
                "db_table": "beat",
            },
        ),
        migrations.CreateModel(
            name="NurseryRow",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ident", models.CharField(max_length=64, unique=True)),
                ("name", models.CharField(max_length=120)),
                ("zone", models.CharField(max_length=64)),
                ("demo", models.BooleanField(default=False)),
            ],
            options={
                "db_table": "nursery",
            },
        ),
        migrations.CreateModel(
            name="SignInTry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=254, unique=True)),
                ("failed", models.PositiveIntegerField(default=0)),
                ("shut_until", models.DateTimeField(null=True)),
            ],
            options={
                "db_table": "sign_in_try",
            },
        ),
        migrations.CreateModel(
            name="HeadRow",
            fields=[
                (
                    "nursery",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.CASCADE,
                        primary_key=True,
                        serialize=False,
                        to="store.nurseryrow",
                    ),
                ),
                ("epoch", models.CharField(max_length=36)),
                ("last_seq", models.BigIntegerField(default=0)),
                ("chain", models.CharField(max_length=64)),
                ("durable_seq", models.BigIntegerField(default=0)),
            ],
            options={
                "db_table": "head",
            },
        ),
        migrations.CreateModel(
            name="OutlookRow",
            fields=[
                (
                    "nursery",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        primary_key=True,
                        serialize=False,
                        to="store.nurseryrow",
                    ),
                ),
                ("as_of_seq", models.BigIntegerField()),
                ("stale_from", models.BigIntegerField(null=True)),
                ("made_at", models.DateTimeField()),
                ("etag", models.CharField(max_length=64)),
                ("text", models.TextField()),
            ],
            options={
                "db_table": "outlook",
            },
        ),
        migrations.CreateModel(
            name="InviteRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("code_hash", models.CharField(max_length=64, unique=True)),
                ("device_name", models.CharField(max_length=120)),
                ("ends_at", models.DateTimeField()),
                ("used_at", models.DateTimeField(null=True)),
                (
                    "nursery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, to="store.nurseryrow"
                    ),
                ),
            ],
            options={
                "db_table": "invite",
            },
        ),
        migrations.CreateModel(
            name="FeedRow",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("seq", models.BigIntegerField()),
                ("type", models.CharField(max_length=8)),
                ("what", models.CharField(max_length=40)),
                ("ident", models.CharField(max_length=64)),
                ("rev", models.BigIntegerField(default=0)),
                ("text", models.TextField()),
                ("hash", models.CharField(max_length=64)),
                ("link", models.CharField(max_length=64)),
                ("received_at", models.DateTimeField()),
                ("occurred_at", models.DateTimeField(null=True)),
                ("install", models.CharField(max_length=64, null=True)),
                ("n", models.BigIntegerField(null=True)),
                ("set_aside", models.BooleanField(default=False)),
                (
                    "nursery",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        to="store.nurseryrow",
                    ),
                ),
            ],
            options={
                "db_table": "feed",
                "indexes": [
                    models.Index(
                        condition=models.Q(("type", "entry")),
                        fields=["nursery", "what", "seq"],
                        name="feed_by_kind",
                    ),
                    models.Index(
                        condition=models.Q(("type", "entry")),
                        fields=["nursery", "install", "n"],
                        name="feed_by_install",
                    ),
                    models.Index(
                        condition=models.Q(("set_aside", True)),
                        fields=["nursery", "seq"],
                        name="feed_set_aside",
                    ),
                ],
                "constraints": [
                    models.UniqueConstraint(fields=("nursery", "seq"), name="feed_number_once"),
                    models.UniqueConstraint(
                        condition=models.Q(("type", "entry"), _negated=True),
                        fields=("nursery", "type", "what", "ident", "rev"),
                        name="feed_revision_once",
                    ),
                    models.UniqueConstraint(
                        condition=models.Q(("type", "entry")),
                        fields=("nursery", "ident"),
                        name="feed_entry_once",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="DeviceRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("ident", models.CharField(max_length=64)),
                ("name", models.CharField(max_length=120)),
                ("secret_hash", models.CharField(max_length=64, unique=True)),
                ("joined_at", models.DateTimeField()),
                ("revoked_at", models.DateTimeField(null=True)),
                ("last_seen_at", models.DateTimeField(null=True)),
                (
                    "nursery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, to="store.nurseryrow"
                    ),
                ),
            ],
            options={
                "db_table": "device",
                "constraints": [
                    models.UniqueConstraint(fields=("nursery", "ident"), name="device_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="CheckRow",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ident", models.CharField(max_length=160)),
                ("kind", models.CharField(max_length=40)),
                ("subject", models.CharField(max_length=64)),
                ("opens_at", models.DateTimeField()),
                ("due_by", models.DateTimeField(null=True)),
                ("answered_by", models.CharField(blank=True, max_length=64)),
                ("text", models.TextField()),
                (
                    "nursery",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        to="store.nurseryrow",
                    ),
                ),
            ],
            options={
                "db_table": "due_check",
                "indexes": [
                    models.Index(
                        condition=models.Q(("answered_by", "")),
                        fields=["nursery", "opens_at"],
                        name="check_open",
                    )
                ],
                "constraints": [
                    models.UniqueConstraint(fields=("nursery", "ident"), name="check_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="AboutRow",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("subject", models.CharField(max_length=64)),
                ("seq", models.BigIntegerField()),
                (
                    "nursery",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        to="store.nurseryrow",
                    ),
                ),
            ],
            options={
                "db_table": "about",
                "constraints": [
                    models.UniqueConstraint(fields=("nursery", "subject", "seq"), name="about_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="InstallRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("ident", models.CharField(max_length=64)),
                ("device", models.CharField(max_length=64)),
                ("n_max", models.BigIntegerField(default=0)),
                ("n_missing", models.JSONField(default=list)),
                ("unsent", models.IntegerField(default=0)),
                ("photos_unsent", models.IntegerField(default=0)),
                ("oldest_unsent_at", models.DateTimeField(null=True)),
                ("persisted", models.BooleanField(null=True)),
                ("app", models.CharField(blank=True, max_length=40)),
                ("skew_ms", models.BigIntegerField(null=True)),
                ("last_seen_at", models.DateTimeField(null=True)),
                ("pulled_seq", models.BigIntegerField(default=0)),
                ("replaced_at", models.DateTimeField(null=True)),
                (
                    "nursery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, to="store.nurseryrow"
                    ),
                ),
            ],
            options={
                "db_table": "install",
                "constraints": [
                    models.UniqueConstraint(fields=("nursery", "ident"), name="install_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="JobRow",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("kind", models.CharField(max_length=40)),
                ("key", models.CharField(max_length=200, unique=True)),
                ("params", models.JSONField(default=dict)),
                ("state", models.CharField(default="new", max_length=8)),
                ("due_at", models.DateTimeField()),
                ("lease_until", models.DateTimeField(null=True)),
                ("sent_at", models.DateTimeField(null=True)),
                ("attempts", models.IntegerField(default=0)),
                ("told", models.TextField(blank=True)),
                ("made_at", models.DateTimeField()),
                ("ended_at", models.DateTimeField(null=True)),
                (
                    "nursery",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        to="store.nurseryrow",
                    ),
                ),
            ],
            options={
                "db_table": "job",
                "indexes": [
                    models.Index(
                        condition=models.Q(("state__in", ["new", "running"])),
                        fields=["due_at"],
                        name="job_open",
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="KeptRawRow",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("ident", models.CharField(max_length=80)),
                ("raw", models.BinaryField()),
                ("hash", models.CharField(max_length=64)),
                ("code", models.CharField(max_length=40)),
                ("field", models.CharField(blank=True, max_length=200)),
                ("install", models.CharField(max_length=64)),
                ("device", models.CharField(max_length=64)),
                ("received_at", models.DateTimeField()),
                ("looked_at", models.DateTimeField(null=True)),
                (
                    "nursery",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        to="store.nurseryrow",
                    ),
                ),
            ],
            options={
                "db_table": "kept_raw",
                "constraints": [
                    models.UniqueConstraint(
                        fields=("nursery", "hash", "code"), name="kept_raw_once"
                    )
                ],
            },
        ),
        migrations.CreateModel(
            name="MembershipRow",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("role", models.CharField(max_length=16)),
                ("person", models.CharField(blank=True, max_length=64)),
                ("until", models.DateTimeField(null=True)),
                (
                    "account",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, to=settings.AUTH_USER_MODEL
                    ),
                ),
                (
                    "nursery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, to="store.nurseryrow"
                    ),
                ),
            ],
            options={
                "db_table": "membership",
                "constraints": [
                    models.UniqueConstraint(fields=("nursery", "account"), name="membership_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="RefRow",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("type", models.CharField(max_length=40)),
                ("ident", models.CharField(max_length=64)),
                ("rev", models.BigIntegerField()),
                ("seq", models.BigIntegerField()),
                ("text", models.TextField()),
                ("gone", models.BooleanField(default=False)),
                (
                    "nursery",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        to="store.nurseryrow",
                    ),
                ),
            ],
            options={
                "db_table": "ref",
                "constraints": [
                    models.UniqueConstraint(fields=("nursery", "type", "ident"), name="ref_once")
                ],
            },
        ),
        migrations.CreateModel(
            name="SubjectRow",
            fields=[
                ("id", models.BigAutoField(primary_key=True, serialize=False)),
                ("type", models.CharField(max_length=8)),
                ("ident", models.CharField(max_length=64)),
                ("label", models.CharField(blank=True, max_length=64)),
                ("place", models.CharField(blank=True, max_length=64)),
                ("consignment", models.CharField(blank=True, max_length=64)),
                ("alive", models.BigIntegerField(null=True)),
                ("closed", models.BooleanField(default=False)),
                ("doubts", models.IntegerField(default=0)),
                ("state", models.TextField()),
                ("as_of_seq", models.BigIntegerField()),
                ("stale_from", models.BigIntegerField(null=True)),
                (
                    "nursery",
                    models.ForeignKey(
                        db_index=False,
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        to="store.nurseryrow",
                    ),
                ),
            ],
            options={
                "db_table": "subject",
                "indexes": [
                    models.Index(
                        condition=models.Q(("stale_from__isnull", False)),
                        fields=["nursery", "stale_from"],
                        name="subject_stale",
                    ),
                    models.Index(
                        condition=models.Q(("doubts__gt", 0)),
                        fields=["nursery", "ident"],
                        name="subject_doubtful",
                    ),
                ],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("nursery", "type", "ident"), name="subject_once"
                    )
                ],
            },
        ),
    ]

"""Sessions in a table that knows whose they are, so that people see and end their own.

Who was signed in signs in once more: an old row knows no account, and none of them is left lying.
"""

from django.apps.registry import Apps
from django.conf import settings
from django.db import migrations, models
from django.db.backends.base.schema import BaseDatabaseSchemaEditor


def end_the_old(apps: Apps, editor: BaseDatabaseSchemaEditor) -> None:
    """End every session of before."""
    apps.get_model("sessions", "Session").objects.using(editor.connection.alias).all().delete()


class Migration(migrations.Migration):
    dependencies = [("store", "0014_row_security"), ("sessions", "0001_initial")]

    operations = [
        migrations.CreateModel(
            name="SessionRow",
            fields=[
                (
                    "session_key",
                    models.CharField(
                        "session key", max_length=40, primary_key=True, serialize=False
                    ),
                ),
                ("session_data", models.TextField("session data")),
                ("expire_date", models.DateTimeField("expire date", db_index=True)),
                (
                    "account",
                    models.ForeignKey(settings.AUTH_USER_MODEL, models.CASCADE, null=True),
                ),
            ],
            options={"db_table": "session"},
        ),
        migrations.RunPython(end_the_old, migrations.RunPython.noop),
    ]

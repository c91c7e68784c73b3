"""What a migration does when the fold keeps more than before: every kept state is folded anew."""

from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor

# Before the first line of any feed, so that all of it counts.
FROM_THE_START = 0


def mark(apps: Apps, _editor: BaseDatabaseSchemaEditor) -> None:
    """Mark what is kept as stale: it is folded when somebody reads it, and by the hourly job."""
    for name in ("SubjectRow", "OutlookRow", "ForecastRow"):
        rows = apps.get_model("store", name).objects
        rows.filter(stale_from=None).update(stale_from=FROM_THE_START)


FOLD_ANEW = migrations.RunPython(mark, migrations.RunPython.noop)

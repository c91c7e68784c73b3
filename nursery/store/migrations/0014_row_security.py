"""Each nursery's rows are shown to it alone, by PostgreSQL itself."""

from django.db import migrations

from nursery.store import row_security


class Migration(migrations.Migration):
    dependencies = [("store", "0013_mail_tries")]

    operations = [migrations.RunPython(row_security.migrate, migrations.RunPython.noop)]

"""How often an attempt was made: a server may say that it takes a letter later."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("store", "0012_people")]

    operations = [
        migrations.AddField(
            model_name="reminderattemptrow",
            name="tries",
            field=models.SmallIntegerField(default=1, db_default=1),
        ),
    ]

"""An entry is found by its id first, whatever a planner thinks of the size of its nursery."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("store", "0015_sessions")]

    operations = [
        migrations.RemoveConstraint(model_name="feedrow", name="feed_entry_once"),
        migrations.AddConstraint(
            model_name="feedrow",
            constraint=models.UniqueConstraint(
                fields=["ident", "nursery"],
                condition=models.Q(type="entry"),
                name="feed_entry_once",
            ),
        ),
    ]

"""Lessons owed are found, and come in order, by one small index."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("studio", "0002_names_of_notes")]

    operations = [
        migrations.RemoveIndex("lesson", "owed"),
        migrations.AddIndex(
            "lesson",
            models.Index(
                condition=models.Q(("make_up_owed", True)),
                fields=["date", "starts"],
                name="owed_on",
            ),
        ),
    ]

"""What notes are called, a first session in the studio's language, lessons still to come."""

import django.core.validators
import studio.people.models
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("studio", "0001_access_people_terms_and_lessons")]

    operations = [
        migrations.AddField(
            "studio",
            "note_names",
            models.CharField(
                blank=True,
                choices=[
                    ("", "As the language has them"),
                    ("letters", "C, F sharp, B flat, B"),
                    ("german", "C, Fis, B, H"),
                    ("syllables", "Do, Fa sharp, Si flat, Si"),
                ],
                default="",
                max_length=10,
            ),
        ),
        migrations.AlterField(
            "student",
            "session_1",
            models.CharField(
                default=studio.people.models.first_session,
                max_length=30,
                validators=[
                    django.core.validators.RegexValidator(
                        "[\\r\\n\\x00-\\x08\\x0b-\\x1f]", "Write it on one line.", inverse_match=True
                    )
                ],
            ),
        ),
        migrations.AddIndex(
            "lesson",
            models.Index(fields=["status", "date"], name="lesson_by_status"),
        ),
        migrations.AddIndex(
            "lesson",
            models.Index(
                condition=models.Q(("make_up_owed", True)),
                fields=["make_up_until"],
                name="owed",
            ),
        ),
    ]

"""Rows of which there are a million in ten years keep only what is read."""

import django.db.models.deletion
import studio.fields
from django.db import migrations, models


def of(model: str, related_name: str = "+") -> models.ForeignKey:
    return models.ForeignKey(
        blank=True,
        db_index=False,
        null=True,
        on_delete=django.db.models.deletion.SET_NULL,
        related_name=related_name,
        to=model,
    )


class Migration(migrations.Migration):
    dependencies = [("practice", "0002_plans_and_sheets_packed")]

    operations = [
        migrations.RemoveField("plan", "inputs"),
        migrations.RenameField("plan", "packed", "inputs"),
        migrations.AlterField("plan", "inputs", studio.fields.PackedJSONField()),
        migrations.RemoveField("sheet", "data"),
        migrations.RenameField("sheet", "packed", "data"),
        migrations.AlterField("sheet", "data", studio.fields.PackedJSONField()),
        migrations.RemoveField("logentry", "logged"),
        migrations.RemoveField("logentry", "ticked"),
        migrations.RemoveIndex("item", "item_by_date"),
        migrations.RemoveField("item", "detail"),
        migrations.RemoveField("item", "reason"),
        migrations.AlterField(
            "item",
            "plan",
            models.ForeignKey(
                db_index=False,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="items",
                to="practice.plan",
            ),
        ),
        migrations.AlterField("item", "piece", of("practice.pieceinhand")),
        migrations.AlterField("item", "spot", of("practice.spot", "items")),
        migrations.AlterField("item", "scale", of("practice.scaleinhand")),
        *(
            migrations.AddIndex(
                "item",
                models.Index(
                    condition=models.Q((f"{name}__isnull", False)),
                    fields=[name],
                    name=f"item_of_{name}",
                ),
            )
            for name in ("piece", "spot", "scale")
        ),
        migrations.AddIndex(
            "assignment",
            models.Index(
                condition=models.Q(("printed__isnull", True), ("sent__isnull", True)),
                fields=["starts"],
                name="assignment_still_to_give",
            ),
        ),
    ]

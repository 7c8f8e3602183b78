"""Inputs of plans and printed sheets are kept packed; what an item is stands in its plan once."""

from __future__ import annotations

from itertools import groupby
from typing import Any

import studio.fields
from django.apps.registry import Apps
from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.models import F, QuerySet

AT_ONCE = 500


def pack(apps: Apps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    def rows_of(model: str) -> QuerySet[Any]:
        return apps.get_model("practice", model)._base_manager.using(schema_editor.connection.alias)

    # What is planned comes after what only was played, which may say what once was.
    items = rows_of("Item").order_by("plan", "minutes", "pk")
    words = items.values_list("plan", "key", "detail").iterator()
    details = {pk: {key: detail for _, key, detail in rows} for pk, rows in groupby(words, _first)}
    for row in rows_of("Plan").iterator(AT_ONCE):
        row.packed, row.details = row.inputs, details.get(row.pk, {})
        row.save(update_fields=["packed", "details"])
    for row in rows_of("Sheet").iterator(AT_ONCE):
        row.packed = row.data
        row.save(update_fields=["packed"])
    # Where minutes alone were told, a tick may still be on its way and must count.
    rows_of("LogEntry").filter(done=True, done_told=None).update(done_told=F("ticked"))


def _first(row: tuple[Any, ...]) -> Any:
    return row[0]


class Migration(migrations.Migration):
    dependencies = [("practice", "0001_repertoire_plans_logs_and_reports")]

    operations = [
        migrations.AddField("plan", "packed", studio.fields.PackedJSONField(null=True)),
        migrations.AddField("plan", "details", studio.fields.PackedJSONField(default=dict)),
        migrations.AddField("sheet", "packed", studio.fields.PackedJSONField(null=True)),
        migrations.RunPython(pack, migrations.RunPython.noop, elidable=True),
    ]

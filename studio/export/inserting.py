"""Rows put into the database as they are, and the new numbers they got."""

from __future__ import annotations

from array import array
from bisect import bisect_left
from typing import Any

from django.db import DEFAULT_DB_ALIAS, connections, models
from django.db.models.sql import InsertQuery
from django.utils.translation import gettext as _


class Numbers:
    """New numbers by old ones; the old ones come in ascending order."""

    def __init__(self) -> None:
        self.old, self.new = array("q"), array("q")

    def add(self, old: int, new: int) -> None:
        self.old.append(old)
        self.new.append(new)

    def get(self, old: int) -> int | None:
        place = bisect_left(self.old, old)
        return self.new[place] if place < len(self.old) and self.old[place] == old else None


def check_text(value: Any) -> None:
    """No sign that a database refuses, however deep it lies."""
    if isinstance(value, str):
        if "\x00" in value:
            raise ValueError(_("a text holds a zero sign"))
        value.encode()  # raises UnicodeEncodeError, a ValueError, for half a sign
    elif isinstance(value, dict):
        for key, each in value.items():
            check_text(key)
            check_text(each)
    elif isinstance(value, list | tuple):
        for each in value:
            check_text(each)


def inserted(model: type[models.Model], rows: list[Any]) -> list[Any]:
    """Insert rows as they are, with no moment of "now" put in; their keys, in order."""
    fields = [each for each in model._meta.local_concrete_fields if not each.generated]
    pk = model._meta.pk
    if isinstance(pk, models.AutoField):
        fields.remove(pk)
    connection = connections[DEFAULT_DB_ALIAS]
    size = max(1, connection.ops.bulk_batch_size(fields, rows) if rows else 1)
    found: list[Any] = []
    for start in range(0, len(rows), size):
        query = InsertQuery(model)
        query.insert_values(fields, rows[start : start + size], raw=True)
        compiler = query.get_compiler(using=DEFAULT_DB_ALIAS)
        found += [key for (key, *_) in compiler.execute_sql([pk])]
    return found

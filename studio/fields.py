"""Kinds of model fields that the database does not bring."""

from __future__ import annotations

import json
import zlib
from typing import Any

from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper

PACKED = bytes | memoryview
COLUMNS = "|"  # the one key of an object that stands for a list of objects


class PackedJSONField(models.JSONField):
    """JSON kept as zlib bytes: read and written as a whole, never asked for in a query.

    For what is kept once and seldom read. Lists of like objects go in column by column, which
    zlib packs a fifth tighter; so JSON of repeated names shrinks to an eighth.
    """

    def get_internal_type(self) -> str:
        return "BinaryField"

    def get_db_prep_value(
        self, value: Any, connection: BaseDatabaseWrapper, prepared: bool = False
    ) -> Any:
        if value is None or isinstance(value, bytes):
            return value
        text = json.dumps(in_columns(value), ensure_ascii=False, separators=(",", ":"))
        return zlib.compress(text.encode(), 9)

    def from_db_value(  # type: ignore[override]  # bytes, not text
        self, value: PACKED | None, expression: Any, connection: Any
    ) -> Any:
        return None if value is None else in_rows(json.loads(zlib.decompress(value)))

    def get_transform(self, lookup_name: str) -> None:
        """There is nothing in it that a database could look up."""


class UnsortedJSONField(PackedJSONField):
    """A packed field's texts as fast as they can be had: its lists stay in columns."""

    def from_db_value(  # type: ignore[override]
        self, value: PACKED | None, expression: Any, connection: Any
    ) -> Any:
        return None if value is None else json.loads(zlib.decompress(value))


def in_columns(value: Any) -> Any:
    """JSON with each list of objects of the same names as one object of lists."""
    if isinstance(value, dict):
        if COLUMNS in value:
            raise ValueError(f"No name may be “{COLUMNS}”.")
        return {name: in_columns(each) for name, each in value.items()}
    if not isinstance(value, list | tuple):
        return value
    names = value[0].keys() if value and isinstance(value[0], dict) else ()
    if names and all(isinstance(each, dict) and each.keys() == names for each in value):
        rows = [in_columns(each) for each in value]
        return {COLUMNS: {name: [row[name] for row in rows] for name in names}}
    return [in_columns(each) for each in value]


def in_rows(value: Any) -> Any:
    """What `in_columns` was given."""
    if isinstance(value, list):
        return [in_rows(each) for each in value]
    if not isinstance(value, dict):
        return value
    if value.keys() != {COLUMNS}:
        return {name: in_rows(each) for name, each in value.items()}
    columns = value[COLUMNS]
    return [
        {name: in_rows(each) for name, each in zip(columns, row, strict=True)}
        for row in zip(*columns.values(), strict=True)
    ]

"""Kinds of model fields that the database does not bring."""

from __future__ import annotations

import json
import zlib
from typing import Any

from django.db import models
from django.db.backends.base.base import BaseDatabaseWrapper

PACKED = bytes | memoryview


class PackedJSONField(models.JSONField):
    """JSON kept as zlib bytes: read and written as a whole, never asked for in a query.

    For what is kept once and seldom read; JSON of repeated names shrinks to a seventh or less.
    """

    def get_internal_type(self) -> str:
        return "BinaryField"

    def get_db_prep_value(
        self, value: Any, connection: BaseDatabaseWrapper, prepared: bool = False
    ) -> Any:
        if value is None or isinstance(value, bytes):
            return value
        text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), cls=self.encoder)
        return zlib.compress(text.encode(), 9)

    def from_db_value(  # type: ignore[override]  # bytes, not text
        self, value: PACKED | None, expression: Any, connection: Any
    ) -> Any:
        return None if value is None else json.loads(zlib.decompress(value), cls=self.decoder)

    def get_transform(self, lookup_name: str) -> None:
        """There is nothing in it that a database could look up."""

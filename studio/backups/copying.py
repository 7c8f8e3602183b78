"""Every row of a studio from one database to another, the same on both sides to the last letter."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from itertools import islice
from typing import Any

from django.apps import apps
from django.apps.registry import Apps
from django.core.management.color import no_style
from django.db import DatabaseError, connections, models, transaction
from django.utils.translation import gettext as _

from studio.backups.trouble import BackupTrouble

AT_ONCE = 2000
# What lives for minutes or belongs to one browser; signing in makes it anew.
PASSING = frozenset({"django_session", "studio_signinticket", "studio_allowance"})


@dataclass(frozen=True)
class Sum:
    """What one table holds: its rows, and the SHA-256 of their values in order of their keys."""

    rows: int
    sha256: str


def tables(known: Apps = apps) -> list[type[models.Model]]:
    """Each table that is kept, with those between two others; `known` are another version's."""
    return [
        model
        for model in known.get_models(include_auto_created=True)
        if model._meta.managed and not model._meta.proxy and model._meta.db_table not in PASSING
    ]


def passing() -> list[type[models.Model]]:
    return [model for model in apps.get_models() if model._meta.db_table in PASSING]


def counts(alias: str) -> dict[str, int]:
    """How many rows each kept table has, by its name; one of another version may lack some."""
    there = set(connections[alias].introspection.table_names())
    kept = (model for model in tables() if model._meta.db_table in there)
    return {model._meta.db_table: _rows(model, alias).count() for model in kept}


def sums(alias: str, known: Apps = apps) -> dict[str, Sum]:
    return {model._meta.db_table: _sum(model, alias) for model in tables(known)}


def copy_all(source: str, target: str, known: Apps = apps) -> dict[str, Sum]:
    """Replace what `target` holds by what `source` holds, all or nothing; the sums, compared.

    Both databases fit `known`, the models of this version or another. Read while nobody writes,
    or inside a transaction that sees one moment.
    """
    with transaction.atomic(using=target):
        empty(target, known)
        for model in tables(known):
            _copy(model, source, target)
        if connections[target].vendor == "postgresql":
            connections[target].check_constraints()
        before, after = sums(source, known), sums(target, known)
        differing = [name for name in before if before[name] != after[name]]
        if differing:
            said = _("Nothing was changed: after copying, {tables} differed.")
            raise BackupTrouble(said.format(tables=", ".join(differing)))
    _go_on_counting(target, known)
    return after


def empty(alias: str, known: Apps = apps) -> None:
    """Delete every row, in a transaction."""
    quote = connections[alias].ops.quote_name
    names = [model._meta.db_table for model in (*tables(known), *passing())]
    with connections[alias].cursor() as cursor:
        if connections[alias].vendor == "postgresql":
            cursor.execute(f"TRUNCATE {', '.join(map(quote, names))}")  # no words: SQL
            return
        for name in names:  # keys between the tables are checked when the transaction ends
            cursor.execute(f"DELETE FROM {quote(name)}")  # noqa: S608 (a table of ours)


def _copy(model: type[models.Model], source: str, target: str) -> None:
    fields = _fields(model)
    connection = connections[target]
    quote = connection.ops.quote_name
    table = model._meta.db_table
    columns = ", ".join(quote(field.column) for field in fields)
    insert = (
        f"INSERT INTO {quote(table)} ({columns}) "  # noqa: S608 (names of ours)
        f"VALUES ({', '.join(['%s'] * len(fields))})"
    )
    try:
        with connection.cursor() as cursor:
            for some in _packets(_values(model, source)):
                ready = [
                    [
                        field.get_db_prep_save(value, connection)
                        for field, value in zip(fields, row, strict=True)
                    ]
                    for row in some
                ]
                cursor.executemany(insert, ready)
    except (DatabaseError, ValueError) as error:
        said = _("Nothing was changed: {table} could not be copied: {why}")
        why = str(error).splitlines()[0]
        raise BackupTrouble(said.format(table=table, why=why)) from error


def _go_on_counting(alias: str, known: Apps) -> None:
    """New rows get keys after the highest there is; PostgreSQL has to be told."""
    with connections[alias].cursor() as cursor:
        for line in connections[alias].ops.sequence_reset_sql(no_style(), tables(known)):
            cursor.execute(line)


def _fields(model: type[models.Model]) -> list[models.Field[Any, Any]]:
    return [field for field in model._meta.local_concrete_fields if not field.generated]


def _rows(model: type[models.Model], alias: str) -> models.QuerySet[models.Model]:
    return model._base_manager.using(alias).order_by()


def _values(model: type[models.Model], alias: str) -> Iterator[tuple[Any, ...]]:
    names = [field.attname for field in _fields(model)]
    return iter(_rows(model, alias).order_by("pk").values_list(*names).iterator(AT_ONCE))


def _packets(rows: Iterator[tuple[Any, ...]]) -> Iterator[list[tuple[Any, ...]]]:
    while some := list(islice(rows, AT_ONCE)):
        yield some


def _sum(model: type[models.Model], alias: str) -> Sum:
    digest, count = hashlib.sha256(), 0
    for row in _values(model, alias):
        digest.update(line(row))
        count += 1
    return Sum(count, digest.hexdigest())


def line(row: Sequence[Any]) -> bytes:
    """One row as text that is the same whichever database it was read from."""
    return (
        json.dumps(list(row), default=_plain, sort_keys=True, ensure_ascii=False).encode() + b"\n"
    )


def _plain(value: Any) -> str:
    if isinstance(value, datetime):
        return (value.astimezone(UTC) if value.tzinfo else value).isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    return f"{type(value).__name__} {value}"

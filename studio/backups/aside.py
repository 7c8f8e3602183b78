"""The tables of a newer version on PostgreSQL, moved out of the way of this version's own.

There a database cannot be exchanged like a file, and a newer version's tables may refuse the rows
of this one.
"""

from __future__ import annotations

from django.db import connections

from studio import clock


def put_aside(alias: str) -> str:
    """Move every table into a schema of its own, in the caller's transaction; its name."""
    connection = connections[alias]
    quote = connection.ops.quote_name
    name = f"put_aside_{clock.now():%Y%m%dt%H%M%S}"
    with connection.cursor() as cursor:
        tables = [each.name for each in connection.introspection.get_table_list(cursor)]
        cursor.execute(f"CREATE SCHEMA {quote(name)}")  # no words: SQL
        for table in tables:
            # no words: SQL
            cursor.execute(f"ALTER TABLE {quote(table)} SET SCHEMA {quote(name)}")
    return name


def throw_away(alias: str, name: str) -> None:
    connection = connections[alias]
    with connection.cursor() as cursor:
        # no words: SQL
        cursor.execute(f"DROP SCHEMA {connection.ops.quote_name(name)} CASCADE")

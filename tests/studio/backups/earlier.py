"""A studio kept by an earlier version of the program, and what must be the same in this one."""

from __future__ import annotations

import json
import shutil
import sqlite3
import zipfile
from collections import defaultdict
from contextlib import closing
from pathlib import Path
from typing import Any

from studio.fields import PackedJSONField

FILES = Path(__file__).parents[2] / "data" / "earlier"
BACKUP, EXPORT = FILES / "backup-c054605.zip", FILES / "export-c054605.zip"
# What Django keeps for itself, what signs somebody in, and the record, which goes on by itself.
OTHERS = ("django_", "auth_permission", "sqlite_", "studio_recordentry", "studio_allowance")
Row = dict[str, Any]


def data_folder(folder: Path) -> Path:
    """The data folder of that version as it stood: database and key."""
    folder.mkdir(mode=0o700, parents=True)
    with zipfile.ZipFile(BACKUP) as archive:
        for name in ("studio.sqlite3", "secret-key"):
            with archive.open(name) as source, (folder / name).open("xb") as target:
                shutil.copyfileobj(source, target)
            (folder / name).chmod(0o600)
    return folder


def rows(database: Path, statement: str) -> list[Row]:
    with closing(sqlite3.connect(database)) as connection:
        connection.row_factory = sqlite3.Row
        return [dict(row) for row in connection.execute(statement)]


def tables(database: Path) -> list[str]:
    found = rows(database, "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
    return [row["name"] for row in found if not row["name"].startswith(OTHERS)]


def differences(before: Path, after: Path) -> list[str]:
    """Rows of the earlier database that are missing or changed, by the columns both have."""
    found = []
    for table in tables(before):
        statement = f'SELECT * FROM "{table}" ORDER BY 1'
        old, new = rows(before, statement), rows(after, statement)
        if len(old) != len(new):
            found.append(f"{table}: {len(old)} rows, now {len(new)}")
            continue
        for one, other in zip(old, new, strict=True):
            both = sorted(set(one) & set(other) - {"done_told"})
            found += [
                f"{table} {next(iter(one.values()))}: {name} was {one[name]!r}, is {other[name]!r}"
                for name in both
                if not same(one[name], other[name])
            ]
    return found


def same(one: Any, other: Any) -> bool:
    """JSON may be packed now, and PostgreSQL keeps it in another order."""
    if one != other and isinstance(one, str) and one.startswith(("{", "[")):
        return bool(json.loads(one) == unpacked(other))
    return bool(one == other)


def unpacked(value: bytes | str) -> Any:
    if isinstance(value, bytes):
        return PackedJSONField().from_db_value(value, None, None)
    return json.loads(value)


def details(items: list[Row]) -> dict[Any, dict[str, str]]:
    """Of each plan, by the item's key: what it was; what is planned before what only was played."""
    found: dict[Any, dict[str, str]] = defaultdict(dict)
    for item in sorted(items, key=lambda item: int(item["minutes"] > 0)):
        found[item["plan"]][item["key"]] = item["detail"]
    return found


def kept_details(database: Path) -> dict[Any, dict[str, str]]:
    """What the plans of this version say of their items."""
    plans = rows(database, "SELECT id, details FROM practice_plan")
    return {row["id"]: unpacked(row["details"]) for row in plans}

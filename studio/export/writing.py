"""A studio written as one zip, a few rows in memory at a time."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import os
import re
import uuid
import zipfile
from collections import defaultdict
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from copy import deepcopy
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from decimal import Decimal
from itertools import islice
from pathlib import Path
from typing import IO, Any
from zoneinfo import ZoneInfo

from django.db import DEFAULT_DB_ALIAS, connections, models, transaction
from django.utils.translation import gettext as _
from django.utils.translation import override

from studio import clock
from studio.access.models import Studio
from studio.backups import sides
from studio.export import packing
from studio.export.explaining import readme
from studio.export.guarding import guarded
from studio.export.packing import Manifest
from studio.export.rules import Rule, Values, carried
from studio.language import LETTERS, naming

AT_ONCE = 200  # a row can be a whole sheet with its pictures
ENDING = re.compile(r"\.[a-z0-9]{1,12}")


@contextmanager
def one_moment() -> Iterator[str]:
    """An alias that reads the database as it is now, while others go on writing."""
    settings = {**connections[DEFAULT_DB_ALIAS].settings_dict}
    sqlite = connections[DEFAULT_DB_ALIAS].vendor == "sqlite"
    if sqlite:
        settings["OPTIONS"] = {**settings["OPTIONS"], "transaction_mode": "DEFERRED"}
    with sides.beside(settings) as alias, transaction.atomic(using=alias):
        if not sqlite:
            with connections[alias].cursor() as cursor:
                # no words: SQL
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
        yield alias


def write_at(studio: Studio, path: Path, *, papers: bool = False) -> Manifest:
    """Write to a file that must not exist, readable by its owner alone."""
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError as error:
        said = _("{file} exists already; choose another name.").format(file=path)
        raise packing.ExportTrouble(said) from error
    except OSError as error:
        said = _("{file} cannot be written: {why}.").format(file=path, why=error.strerror)
        raise packing.ExportTrouble(said) from error
    with os.fdopen(descriptor, "w+b") as file, one_moment() as alias:
        return write(studio, file, alias, papers=papers)


def write(
    studio: Studio, file: IO[bytes], using: str = DEFAULT_DB_ALIAS, *, papers: bool = False
) -> Manifest:
    """Write the whole studio to an open file; read inside one transaction of `using`.

    `papers`: also what was printed and kept, which takes a while.
    """
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=6) as archive:
        pack = _Pack(archive, {}, {})
        for rule in carried():
            _write_rows(pack, rule, studio, using)
        for rule in carried():
            if rule.table:
                with _alike():
                    name = f"tables/{rule.table.title.lower().replace(' ', '-')}.csv"
                    with pack.open(name) as part:
                        _write_table(part, rule, rule.of(studio, using), ZoneInfo(studio.zone))
            if rule.papers and papers:
                for pk, paper in rule.papers(rule.of(studio, using)):
                    with pack.open(f"papers/{rule.label}/{pk}.pdf") as part:
                        part.write(paper)
        with pack.open(packing.README) as part:
            part.write(readme().encode())
        manifest = Manifest(studio.name, clock.now().astimezone(UTC), pack.rows, pack.files)
        archive.writestr(packing.MANIFEST, packing.as_json(manifest))
    return manifest


@contextmanager
def _alike() -> Iterator[None]:
    """Tables have the same headings and words whatever the studio speaks."""
    with override("en"), naming(LETTERS):
        yield


@dataclass(frozen=True)
class _Pack:
    archive: zipfile.ZipFile
    rows: dict[str, int]
    files: dict[str, tuple[str, int]]

    @contextmanager
    def open(self, name: str) -> Iterator[IO[bytes]]:
        with self.archive.open(name, "w", force_zip64=True) as inner:
            summed = _Summed(inner)
            yield summed  # type: ignore[misc]
        self.files[name] = (summed.digest.hexdigest(), summed.bytes)


class _Summed:
    """A file that sums what is written to it."""

    def __init__(self, inner: IO[bytes]) -> None:
        self.inner, self.digest, self.bytes = inner, hashlib.sha256(), 0

    def write(self, piece: bytes) -> int:
        self.digest.update(piece)
        self.bytes += len(piece)
        return self.inner.write(piece)


def _write_rows(pack: _Pack, rule: Rule, studio: Studio, using: str) -> None:
    kept: list[tuple[str, int]] = []
    pack.rows[rule.label] = 0
    with pack.open(f"data/{rule.label}.jsonl") as part:
        for values in rows_of(rule, _carried(rule, studio, using), using):
            for name in _bytes(rule):
                values[name] = _file_name(rule, values)
                kept.append((values[name], values["id"]))
            part.write(as_line(values))
            pack.rows[rule.label] += 1
    for name, pk in kept:  # one zip takes one file at a time
        row = rule.model._base_manager.using(using).filter(pk=pk).values_list(*_bytes(rule))
        with pack.open(name) as part:
            part.write(bytes(row[0][0]))


def _bytes(rule: Rule) -> list[str]:
    """The field that keeps a file, read by itself because it may be large; one at most."""
    return [each.name for each in rule.fields if isinstance(each, models.BinaryField)][:1]


def _carried(rule: Rule, studio: Studio, using: str) -> models.QuerySet[Any]:
    """The studio's rows, and those of the shared list that some row of hers points to."""
    own = rule.of(studio, using)
    if not rule.shared:
        return own
    pks: set[Any] = set()
    for other in carried():
        for each in other.model._meta.local_concrete_fields:
            if each.remote_field and each.remote_field.model is rule.model:
                pks.update(other.of(studio, using).values_list(each.attname, flat=True).distinct())
        if mentioned := other.mentions.get(rule.label):
            pks.update(mentioned(other.of(studio, using)))
    shared = rule.model._base_manager.using(using).filter(
        **{f"{rule.belongs}__isnull": True}, pk__in=pks - {None}
    )
    pks = {*own.values_list("pk", flat=True), *shared.values_list("pk", flat=True)}
    return rule.model._base_manager.using(using).filter(pk__in=pks).order_by("pk")


def rows_of(rule: Rule, rows: models.QuerySet[Any], using: str | None = None) -> Iterator[Values]:
    """Rows as values by field name: numbers for rows pointed to, lists of them for many."""
    fields = [each for each in rule.fields if each.name not in _bytes(rule)]
    names = ["pk", *(each.attname for each in fields)]
    many = rule.model._meta.local_many_to_many
    found = iter(rows.values_list(*names).iterator(AT_ONCE))
    while some := list(islice(found, AT_ONCE)):
        links = [(each.name, _linked(each, [row[0] for row in some], using)) for each in many]
        for row in some:
            values: Values = {"id": row[0]}
            for each, value in zip(fields, row[1:], strict=True):
                if not each.primary_key:
                    values[each.name] = value
            values.update({name: found[row[0]] for name, found in links})
            if rule.hide:
                values = deepcopy(values)
                rule.hide(values)
            yield values


def _linked(
    each: models.ManyToManyField[Any, Any], pks: list[Any], using: str | None
) -> dict[Any, list[Any]]:
    through: Any = each.remote_field.through
    here, there = each.m2m_column_name(), each.m2m_reverse_name()
    found: dict[Any, list[Any]] = defaultdict(list)
    pairs = through._base_manager.using(using).filter(**{f"{here}__in": pks})
    for pk, other in pairs.order_by(there).values_list(here, there):
        found[pk].append(other)
    return found


def _file_name(rule: Rule, values: Values) -> str:
    ending = Path(str(values.get(rule.ending, ""))).suffix.lower()
    return f"files/{rule.label}/{values['id']}{ending if ENDING.fullmatch(ending) else ''}"


def as_line(values: Values) -> bytes:
    return json.dumps(values, default=plain, ensure_ascii=False).encode() + b"\n"


def plain(value: Any) -> Any:
    """Days, times and the like as text; instants in UTC."""
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, date | time):
        return value.isoformat()
    if isinstance(value, uuid.UUID | Decimal):
        return str(value)
    raise TypeError(type(value))


def _write_table(part: IO[bytes], rule: Rule, rows: models.QuerySet[Any], zone: ZoneInfo) -> None:
    part.write(b"\xef\xbb\xbf")  # so that a spreadsheet knows it is UTF-8
    for line in table_lines(rule, rows, zone):
        text = io.StringIO()
        csv.writer(text).writerow([guarded(cell) for cell in line])
        part.write(text.getvalue().encode())


def table_lines(
    rule: Rule, rows: models.QuerySet[Any], zone: ZoneInfo, without: Iterable[str] = ()
) -> Iterator[list[str]]:
    """Headings, then each row as a person in the zone reads it, without the fields named."""
    left = set(without)
    columns = [each for each in (rule.table.columns if rule.table else ()) if each[1] not in left]
    yield [str(heading) for heading, _look_up in columns]
    look_ups = [look_up for _heading, look_up in columns]
    words = [_words(rule, look_up) for look_up in look_ups]
    told = rule.table.told if rule.table else {}
    for row in rows.values_list(*look_ups).iterator(AT_ONCE):
        said = [
            told[look_up](value) if look_up in told else value
            for look_up, value in zip(look_ups, row, strict=True)
        ]
        yield [_cell(value, known, zone) for value, known in zip(said, words, strict=True)]


def _words(rule: Rule, look_up: str) -> dict[Any, str]:
    """What each value of a fixed list is called."""
    if "__" in look_up:
        return {}
    found = next((each for each in rule.fields if each.name == look_up), None)
    return {key: str(said) for key, said in (found.flatchoices if found else ())}


def _cell(value: Any, words: dict[Any, str], zone: ZoneInfo) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, datetime):
        return f"{value.astimezone(zone):%Y-%m-%d %H:%M}"
    if isinstance(value, time):
        return f"{value:%H:%M}"
    return str(words.get(value, value))

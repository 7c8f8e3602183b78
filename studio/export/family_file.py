"""One family's data as a file of its own: readable as a page, complete as JSON."""

from __future__ import annotations

import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import IO, Any
from zoneinfo import ZoneInfo

from django.db import models
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from studio import clock
from studio.export.rules import Rule, Values, by_label, carried
from studio.export.writing import as_line, rows_of, table_lines
from studio.people.models import Family
from studio.web.pdf import PrintingMissing

PAGE, README = "page.html", "README.txt"


@dataclass(frozen=True)
class Section:
    title: str
    headings: list[str]
    rows: list[list[str]]


def write(family: Family, file: IO[bytes], *, notes: bool) -> None:
    """The zip; `notes`: also what the teacher wrote for herself alone."""
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(PAGE, page(family, notes=notes))
        archive.writestr(README, _readme(notes))
        named: dict[str, set[Any]] = {}
        for rule in carried():
            if rule.family:
                with archive.open(f"data/{rule.label}.jsonl", "w", force_zip64=True) as part:
                    for values in _rows(rule, family, notes):
                        _note_named(rule, values, named)
                        part.write(as_line(values))
        for label, pks in named.items():
            with archive.open(f"data/{label}.jsonl", "w") as part:
                rule = by_label()[label]
                for values in rows_of(rule, rule.model._base_manager.filter(pk__in=pks)):
                    part.write(as_line(values))
        for name, content in _papers(family):
            archive.writestr(name, content)


def _readme(notes: bool) -> str:
    head = _(
        """What a violin studio keeps of one family.

page.html  everything a person wants to read; open it in any browser.
reports/   the reports that were given, as they were printed.
data/      everything there is, for programs: one row a line, each line an object in JSON
           (RFC 8259), UTF-8. Rows point to each other by their "id". Days are 2026-11-25, times
           of day 16:15:00 on the studio's clock, instants in UTC.

Private links are listed without their addresses. {notes}
"""
    )
    without = _("The teacher's own notes are not in it.")
    return head.format(notes=_("The teacher's own notes are in it.") if notes else without)


def page(family: Family, *, notes: bool) -> str:
    """The readable page, whole in itself."""
    context = {
        "family": family,
        "studio": family.studio,
        "today": clock.today(family.studio),
        "sections": [
            section
            for rule in carried()
            if rule.family and (section := _section(rule, family, notes))
        ],
    }
    return render_to_string("export/family_page.html", context)


def _section(rule: Rule, family: Family, notes: bool) -> Section | None:
    if rule.table is None:
        return None
    without = () if notes else rule.private
    zone = ZoneInfo(family.studio.zone)
    headings, *rows = table_lines(rule, _own(rule, family, notes), zone, without)
    return Section(str(rule.table.title), headings, rows) if rows else None


def _own(rule: Rule, family: Family, notes: bool) -> models.QuerySet[Any]:
    rows = rule.of_family(family)
    return rows if notes or rule.private_rows is None else rows.exclude(rule.private_rows)


def _rows(rule: Rule, family: Family, notes: bool) -> Iterator[Values]:
    """The family's rows; of what it shares with others only its own part."""
    students = set(family.students.values_list("pk", flat=True))
    for values in rows_of(rule, _own(rule, family, notes)):
        if not notes:
            for name in rule.private:
                values.pop(name)
        for many in rule.model._meta.local_many_to_many:
            values[many.name] = [pk for pk in values[many.name] if pk in students]
        yield values


def _note_named(rule: Rule, values: Values, named: dict[str, set[Any]]) -> None:
    """Remember rows of no family that these point to: works, terms, ideas."""
    for each in rule.fields:
        other = each.remote_field.model._meta.label_lower if each.remote_field else ""
        if other in _of_no_family() and values.get(each.name):
            named.setdefault(other, set()).add(values[each.name])


@cache
def _of_no_family() -> frozenset[str]:
    return frozenset(rule.label for rule in carried() if rule.belongs and not rule.family)


def _papers(family: Family) -> Iterator[tuple[str, bytes]]:
    try:
        for rule in carried():
            if rule.papers:
                for pk, paper in rule.papers(rule.of_family(family)):
                    yield f"reports/{pk}.pdf", paper
    except PrintingMissing as trouble:
        yield "reports/README.txt", str(trouble).encode()

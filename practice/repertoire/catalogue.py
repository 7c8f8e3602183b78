"""The starter catalogue: works and explore ideas kept as data files, loaded at every start."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

from django.db import transaction

from practice.music.keys import parse_key
from practice.repertoire.models import Idea, Work

DATA: Final = Path(__file__).resolve().parent / "data"
WORK_FIELDS: Final = (
    "composer",
    "title",
    "opus",
    "number",
    "key",
    "kind",
    "techniques",
    "difficulty",
    "sure",
    "source",
)


class BadCatalogue(ValueError):
    """A row of a data file that cannot be loaded; the message names file, line and value."""


@transaction.atomic
def load_catalogue() -> tuple[int, int]:
    """Brings the shared works and ideas up to the data files; returns how many were written.

    Rows are matched by `catalogue_key` (works) and title (ideas). A row that left the file stays,
    for a student may have it in hand. What the studios added themselves is never touched.
    """
    return _load_works(), _load_ideas()


def _load_works() -> int:
    known = {work.catalogue_key: work for work in Work.objects.filter(studio=None)}
    new, changed = [], []
    for values in work_rows():
        work = known.get(values["catalogue_key"])
        if work is None:
            new.append(Work(**values))
        elif any(getattr(work, field) != values[field] for field in WORK_FIELDS):
            for field in WORK_FIELDS:
                setattr(work, field, values[field])
            changed.append(work)
    Work.objects.bulk_create(new)
    Work.objects.bulk_update(changed, WORK_FIELDS)
    return len(new) + len(changed)


def _load_ideas() -> int:
    known = {idea.title: idea for idea in Idea.objects.filter(studio=None)}
    new, changed = [], []
    for values in idea_rows():
        idea = known.get(values["title"])
        if idea is None:
            new.append(Idea(**values))
        elif idea.text != values["text"]:
            idea.text = values["text"]
            changed.append(idea)
    Idea.objects.bulk_create(new)
    Idea.objects.bulk_update(changed, ["text"])
    return len(new) + len(changed)


def work_rows() -> Iterator[dict[str, Any]]:
    """Field values of each work in the file, checked."""
    for line, row in _rows("works.csv"):
        if row["kind"] not in Work.Kind.values:
            # no words: in a terminal
            raise BadCatalogue(f"works.csv, line {line}: “{row['kind']}” is no kind of work.")
        if row["sure"] not in Work.Sure.values:
            # no words: in a terminal
            raise BadCatalogue(f"works.csv, line {line}: “{row['sure']}” says not how sure it is.")
        if row["key"] and parse_key(row["key"]).name != row["key"]:
            # no words: in a terminal
            raise BadCatalogue(f"works.csv, line {line}: “{row['key']}” is not how keys are kept.")
        yield row | {
            "techniques": row["techniques"].split("|") if row["techniques"] else [],
            "difficulty": int(row["difficulty"]) if row["difficulty"] else None,
        }


def idea_rows() -> Iterator[dict[str, str]]:
    for _, row in _rows("ideas.csv"):
        yield row


def _rows(name: str) -> Iterator[tuple[int, dict[str, str]]]:
    with (DATA / name).open(encoding="utf-8", newline="") as file:
        rows = csv.DictReader(file, strict=True)
        for row in rows:
            if None in row or None in row.values():
                # no words: in a terminal
                raise BadCatalogue(f"{name}, line {rows.line_num}: not as many cells as headings.")
            yield rows.line_num, row

"""All rows of one studio as text, without what is random or numbered by the database."""

import datetime as dt
from collections.abc import Iterator
from hashlib import sha256
from typing import Any

from django.db.models import QuerySet

from practice.models import (
    Assignment,
    EtudeInHand,
    Favourite,
    Item,
    LessonNote,
    LogEntry,
    Mark,
    Performance,
    PieceInHand,
    Programme,
    ScaleHeard,
    ScaleInHand,
    Spot,
    Thanks,
    Word,
)
from studio.models import Closure, Guardian, Lesson, Recital, Slot, Student, Studio, Term

# Where a row names its studio, and the values that say what it is.
ROWS: tuple[tuple[type[Any], str, str], ...] = (
    (Term, "studio", "name starts ends"),
    (Closure, "studio", "name starts ends"),
    (Guardian, "family__studio", "family__name name relation email phone"),
    (Student, "family__studio", "family__name given_name birth_date started status notes"
     " minutes_mon minutes_tue minutes_wed minutes_thu minutes_fri minutes_sat minutes_sun"),
    (Slot, "studio", "weekday starts every_weeks minutes place link first_day last_day"),
    (Lesson, "student__family__studio", "student__given_name date starts minutes status place"
     " link makes_up__date with_notice make_up_owed make_up_until slot_day moved_by_hand sequence"),
    (PieceInHand, "student__family__studio", "student__given_name work__title place stage started"
     " finished"),
    (Spot, "piece__student__family__studio", "piece__student__given_name piece__work__title"
     " first_bar last_bar what tempo_now tempo_goal state hardness excerpt easier_key opened"
     " solved"),
    (ScaleInHand, "student__family__studio", "student__given_name key form octaves string"
     " over_top open_strings fingers tempo_now tempo_goal since until"),
    (EtudeInHand, "student__family__studio", "student__given_name work__title work__number lines"
     " cue since until"),
    (Favourite, "student__family__studio", "student__given_name work__title since"),
    (Assignment, "student__family__studio", "student__given_name starts minutes listen_for"
     " to_check idea__title lesson__date decided printed sent"),
    (Item, "plan__assignment__student__family__studio", "plan__assignment__student__given_name"
     " date session position part minutes title"),
    (LogEntry, "item__plan__assignment__student__family__studio",
     "item__plan__assignment__student__given_name item__date item__session item__position done"
     " minutes tempo source done_told"),
    (Word, "student__family__studio", "student__given_name date text source written"),
    (ScaleHeard, "lesson__student__family__studio", "lesson__student__given_name lesson__date"
     " scale__key tempo with_bowings"),
    (Mark, "lesson__student__family__studio", "lesson__student__given_name lesson__date aspect"
     " heard"),
    (LessonNote, "lesson__student__family__studio", "lesson__student__given_name lesson__date"
     " text on_sheet written"),
    (Recital, "studio", "name date starts place minutes called_off players__given_name"),
    (Programme, "recital__studio", "recital__date accompanist siblings most_with_piano thanks"
     " interval_after moved_by_hand"),
    (Performance, "programme__recital__studio", "programme__recital__date place work__title"
     " student__given_name seconds character with_piano"),
    (Thanks, "programme__recital__studio", "programme__recital__date student__given_name words"),
)  # fmt: skip


def rows(studio: Studio) -> dict[str, list[str]]:
    """By table, sorted."""
    return {model.__name__: sorted(_lines(model, at, names, studio)) for model, at, names in ROWS}


def digest(studio: Studio) -> str:
    return sha256(repr(rows(studio)).encode()).hexdigest()


def _lines(model: type[Any], at: str, names: str, studio: Studio) -> Iterator[str]:
    found: QuerySet[Any, Any] = model.objects.filter(**{at: studio}).values_list(*names.split())
    for values in found:
        yield " | ".join(_text(value) for value in values)


def _text(value: object) -> str:
    return value.isoformat() if isinstance(value, dt.date | dt.time) else repr(value)

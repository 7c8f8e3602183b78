"""How the studio's own models travel; see studio/export/rules.py."""

from __future__ import annotations

from typing import Any

from django.db.models import Model

from studio.export.rules import Rule, Table, who
from studio.links import tokens
from studio.models import (
    Allowance,
    BusyTime,
    Closure,
    Family,
    Guardian,
    HomeLink,
    InstrumentSizeNote,
    Lesson,
    LessonRules,
    Recital,
    RecordEntry,
    RosterImport,
    SetApart,
    SignInTicket,
    SizeHeld,
    Slot,
    Student,
    Studio,
    TeacherLink,
    Term,
)

LEFT_OUT: dict[type[Model], str] = {
    Allowance: "counts tries of a few minutes",
    SignInTicket: "opens this installation for a few minutes",
}


def _renew(link: Any) -> None:
    """A link gets a new secret where it arrives; its old address opens nothing there."""
    link.token_hash = tokens.hashed(tokens.secret_of(link))


RULES = (
    Rule(
        Studio,
        belongs="",
        secret=("owner",),
        plain=("zone", "locale", "note_names"),
        names=("name", "teacher"),
        settings=True,
    ),
    Rule(LessonRules, belongs="studio", settings=True),
    Rule(InstrumentSizeNote, belongs="studio", settings=True),
    Rule(
        Family,
        belongs="studio",
        family="pk",
        names=("name",),
        private=("notes",),
        table=Table("Families", {"family": "name", "notes": "notes"}, one="family"),
    ),
    Rule(
        Guardian,
        belongs="family__studio",
        family="family",
        names=("name", "email", "phone"),
        table=Table(
            "Guardians",
            {
                "family": "family__name",
                "name": "name",
                "relation": "relation",
                "e-mail": "email",
                "phone": "phone",
            },
            one="guardian",
        ),
    ),
    Rule(
        Student,
        belongs="family__studio",
        family="family",
        names=("given_name", "family_name"),
        private=("notes",),
        table=Table(
            "Students",
            {
                "first name": "given_name",
                "family name": "family_name",
                "family": "family__name",
                "day of birth": "birth_date",
                "violin": "instrument_size",
                "status": "status",
                "first day": "started",
                "left": "left",
                "notes": "notes",
            },
            one="student",
        ),
    ),
    Rule(
        SizeHeld,
        belongs="student__family__studio",
        family="student__family",
        table=Table(
            "Sizes of the violin",
            {**who(), "violin": "size", "since": "since"},
            one="size of the violin",
        ),
    ),
    Rule(
        Term,
        belongs="studio",
        table=Table("Terms", {"term": "name", "starts": "starts", "ends": "ends"}, one="term"),
    ),
    Rule(
        Closure,
        belongs="studio",
        table=Table(
            "Closures", {"closure": "name", "starts": "starts", "ends": "ends"}, one="closure"
        ),
    ),
    Rule(
        Recital,
        belongs="studio",
        plain=("zone",),
        table=Table(
            "Recitals",
            {"recital": "name", "day": "date", "time": "starts", "place": "place"},
            one="recital",
        ),
    ),
    Rule(BusyTime, belongs="studio"),
    Rule(Slot, belongs="studio", family="students__family"),
    Rule(
        Lesson,
        belongs="student__family__studio",
        family="student__family",
        plain=("zone",),
        table=Table(
            "Lessons",
            {
                "day": "date",
                "time": "starts",
                "minutes": "minutes",
                **who(),
                "status": "status",
                "place": "place",
                "makes up for": "makes_up__date",
            },
            one="lesson",
        ),
    ),
    Rule(
        HomeLink,
        belongs="family__studio",
        family="family",
        secret=("token_hash", "seed"),
        renew=_renew,
        table=Table(
            "Private links",
            {
                "opens": "opens",
                "label": "label",
                "made": "created",
                "until": "expires",
                "shut": "revoked",
                "last used": "last_used",
            },
            one="private link",
        ),
    ),
    Rule(TeacherLink, belongs="studio", secret=("token_hash", "seed"), renew=_renew),
    Rule(RosterImport, belongs="studio"),
    Rule(RecordEntry, belongs="studio", stays="tells what was done in this installation"),
    Rule(SetApart, belongs="studio", plain=("label",)),
)

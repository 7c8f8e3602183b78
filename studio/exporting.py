"""How the studio's own models travel; see studio/export/rules.py."""

from __future__ import annotations

from typing import Any

from django.db.models import Model
from django.utils.translation import gettext_lazy as _
from django.utils.translation import npgettext_lazy, pgettext_lazy

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
    Allowance: "counts tries of a few minutes",  # no words: for programmers
    SignInTicket: "opens this installation for a few minutes",  # no words: for programmers
}


def _renew(link: Any) -> None:
    """A link gets a new secret where it arrives; its old address opens nothing there."""
    link.token_hash = tokens.hashed(tokens.secret_of(link))


RULES = (
    Rule(
        Studio,
        many=pgettext_lazy("rows", "studios"),
        belongs="",
        secret=("owner",),
        plain=("zone", "locale"),
        names=("name", "teacher"),
        settings=True,
    ),
    Rule(LessonRules, many=pgettext_lazy("rows", "lesson rules"), belongs="studio", settings=True),
    Rule(
        InstrumentSizeNote,
        many=pgettext_lazy("rows", "instrument size notes"),
        belongs="studio",
        settings=True,
    ),
    Rule(
        Family,
        many=pgettext_lazy("rows", "families"),
        belongs="studio",
        family="pk",
        names=("name",),
        private=("notes",),
        table=Table(
            _("Families"),
            ((_("family"), "name"), (_("notes"), "notes")),
            count=npgettext_lazy("rows", "family", "families"),
        ),
    ),
    Rule(
        Guardian,
        many=pgettext_lazy("rows", "guardians"),
        belongs="family__studio",
        family="family",
        names=("name", "email", "phone"),
        table=Table(
            _("Guardians"),
            (
                (_("family"), "family__name"),
                (_("name"), "name"),
                (_("relation"), "relation"),
                (_("e-mail"), "email"),
                (_("phone"), "phone"),
            ),
            count=npgettext_lazy("rows", "guardian", "guardians"),
        ),
    ),
    Rule(
        Student,
        many=pgettext_lazy("rows", "students"),
        belongs="family__studio",
        family="family",
        names=("given_name", "family_name"),
        private=("notes",),
        table=Table(
            _("Students"),
            (
                (_("first name"), "given_name"),
                (_("family name"), "family_name"),
                (_("family"), "family__name"),
                (_("day of birth"), "birth_date"),
                (_("violin"), "instrument_size"),
                (_("status"), "status"),
                (_("first day"), "started"),
                (pgettext_lazy("heading", "left"), "left"),
                (_("notes"), "notes"),
            ),
            count=npgettext_lazy("rows", "student", "students"),
        ),
    ),
    Rule(
        SizeHeld,
        many=pgettext_lazy("rows", "sizes held"),
        belongs="student__family__studio",
        family="student__family",
        table=Table(
            _("Sizes of the violin"),
            (*who(), (_("violin"), "size"), (pgettext_lazy("heading", "since"), "since")),
            count=npgettext_lazy("rows", "size of the violin", "sizes of the violin"),
        ),
    ),
    Rule(
        Term,
        many=pgettext_lazy("rows", "terms"),
        belongs="studio",
        table=Table(
            _("Terms"),
            (
                (_("term"), "name"),
                (pgettext_lazy("heading", "starts"), "starts"),
                (pgettext_lazy("heading", "ends"), "ends"),
            ),
            count=npgettext_lazy("rows", "term", "terms"),
        ),
    ),
    Rule(
        Closure,
        many=pgettext_lazy("rows", "closures"),
        belongs="studio",
        table=Table(
            _("Closures"),
            (
                (_("closure"), "name"),
                (pgettext_lazy("heading", "starts"), "starts"),
                (pgettext_lazy("heading", "ends"), "ends"),
            ),
            count=npgettext_lazy("rows", "closure", "closures"),
        ),
    ),
    Rule(
        Recital,
        many=pgettext_lazy("rows", "recitals"),
        belongs="studio",
        plain=("zone",),
        table=Table(
            _("Recitals"),
            (
                (_("recital"), "name"),
                (_("day"), "date"),
                (_("time"), "starts"),
                (_("place"), "place"),
            ),
            count=npgettext_lazy("rows", "recital", "recitals"),
        ),
    ),
    Rule(BusyTime, many=pgettext_lazy("rows", "busy times"), belongs="studio"),
    Rule(Slot, many=pgettext_lazy("rows", "slots"), belongs="studio", family="students__family"),
    Rule(
        Lesson,
        many=pgettext_lazy("rows", "lessons"),
        belongs="student__family__studio",
        family="student__family",
        plain=("zone",),
        table=Table(
            _("Lessons"),
            (
                (_("day"), "date"),
                (_("time"), "starts"),
                (_("minutes"), "minutes"),
                *who(),
                (_("status"), "status"),
                (_("place"), "place"),
                (_("makes up for"), "makes_up__date"),
            ),
            count=npgettext_lazy("rows", "lesson", "lessons"),
        ),
    ),
    Rule(
        HomeLink,
        many=pgettext_lazy("rows", "home links"),
        belongs="family__studio",
        family="family",
        secret=("token_hash", "seed"),
        renew=_renew,
        table=Table(
            _("Private links"),
            (
                (pgettext_lazy("heading", "opens"), "opens"),
                (pgettext_lazy("heading", "label"), "label"),
                (pgettext_lazy("heading", "made"), "created"),
                (pgettext_lazy("heading", "until"), "expires"),
                (pgettext_lazy("heading", "shut"), "revoked"),
                (_("last used"), "last_used"),
            ),
            count=npgettext_lazy("rows", "private link", "private links"),
        ),
    ),
    Rule(
        TeacherLink,
        many=pgettext_lazy("rows", "teacher links"),
        belongs="studio",
        secret=("token_hash", "seed"),
        renew=_renew,
    ),
    Rule(RosterImport, many=pgettext_lazy("rows", "roster imports"), belongs="studio"),
    Rule(
        RecordEntry,
        many=pgettext_lazy("rows", "lines of the record"),
        belongs="studio",
        stays="tells what was done in this installation",  # no words: for programmers
    ),
    Rule(
        SetApart,
        many=pgettext_lazy("rows", "ledgers set apart"),
        belongs="studio",
        plain=("label",),
    ),
)

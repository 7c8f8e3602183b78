"""Every page of a studio that exists: the addresses of the tests of rights, with its own rows."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, cast

from django.db.models import Count, QuerySet
from django.urls import reverse

from practice import models as practice
from practice.figures.years import school_year_of
from studio import models as studio
from studio.links import tokens
from studio.links.models import HomeLink
from tests.studio.access.test_every_object import ALL
from tests.studio.access.world import OBJECTS, SECRETS, VALUES, World, arguments

if TYPE_CHECKING:
    from studio.models import Studio

# Not pages a teacher waits for: each makes a file, or ends something.
NOT_PAGES = ("pdf", ".zip", ".svg", ".png", ".ics", ".html", "backups/download", "export/")


class NotThereError(Exception):
    """The studio has no such row."""


class Held:
    """What the studio has of each kind a World has: of its busiest student, or the latest."""

    def __init__(self, whose: Studio, today: dt.date) -> None:
        self.studio, self.today = whose, today
        learning = studio.Student.objects.of(whose).learning()
        by_weeks = learning.annotate(weeks=Count("assignments")).order_by("-weeks", "pk")
        self.student: studio.Student = _first(by_weeks.filter(links__opens="student"))
        self.family = self.student.family

    @property
    def secret(self) -> str:
        links = HomeLink.objects.filter(opens=HomeLink.Opens.STUDENT, student=self.student)
        return tokens.shown_again(_first(links)) or ""

    def __getattr__(self, name: str) -> Any:
        return _first(self._rows()[name])

    def _rows(self) -> dict[str, QuerySet[Any]]:
        whole, own = {"studio": self.studio}, {"student": self.student}
        recitals = studio.Recital.objects.filter(programme__isnull=False, **whole)
        latest = recitals.order_by("-date")[:1]
        return {
            "guardian": self.family.guardians.all(),
            "term": studio.Term.objects.filter(starts__lte=self.today, **whole).order_by("-starts"),
            "closure": studio.Closure.objects.filter(**whole),
            "slot": studio.Slot.objects.filter(students=self.student),
            "lesson": studio.Lesson.objects.filter(date__lt=self.today, **own).order_by("-date"),
            "work": practice.Work.objects.filter(in_hand__student=self.student),
            "idea": practice.Idea.objects.filter(**whole),
            "bowing": practice.Bowing.objects.filter(**whole),
            "piece": practice.PieceInHand.objects.filter(finished=None, **own),
            "spot": practice.Spot.objects.filter(piece__student=self.student, solved=None),
            "favourite": practice.Favourite.objects.filter(retired=None, **own),
            "score": practice.Score.objects.filter(**whole),
            "week": practice.Assignment.objects.filter(starts__lte=self.today, **own),
            "note": practice.LessonNote.objects.filter(lesson__student=self.student),
            "link": HomeLink.objects.filter(student=self.student),
            "recital": latest,
            "performance": practice.Performance.objects.filter(programme__recital__in=latest),
            "job": practice.PrintJob.objects.filter(**whole),
            "set_apart": studio.SetApart.objects.filter(**whole),
            "roster": studio.RosterImport.objects.filter(**whole),
        }


def _first(rows: QuerySet[Any]) -> Any:
    found = rows.first()
    if found is None:
        raise NotThereError(rows.model.__name__)
    return found


def addresses(whose: Studio, today: dt.date) -> Iterator[tuple[str, str]]:
    """Name and address of whatever may be a page; the name is the one it is reversed by."""
    held = cast(World, Held(whose, today))
    days = {"*/": today.month, "*/*/": today.day, "": today.year}
    for name, route in ALL.items():
        if any(part in route for part in NOT_PAGES):
            continue
        chosen: dict[str, Any] = {}
        try:
            for argument, key in arguments(route).items():
                if key in SECRETS:
                    chosen[argument] = held.secret
                elif key in OBJECTS:
                    chosen[argument] = OBJECTS[key](held).pk
                elif key.startswith("calendar/"):
                    chosen[argument] = days[key.split("/", 2)[2]]
                elif key.startswith("reports/year/"):
                    # The school year: both studios have as much of it.
                    chosen[argument] = (
                        "school" if argument == "kind" else school_year_of(today).year
                    )
                elif "/*/*/" in key and key.startswith("home/"):
                    chosen[argument] = today
                else:
                    chosen[argument] = VALUES[key]
        except NotThereError:
            continue
        yield name, reverse(name, kwargs=chosen)

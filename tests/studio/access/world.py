"""One of every kind of object an address can name, in one teacher's studio.

KINDS maps the part of a route before an argument, with earlier arguments as *, to the object the
argument names. An address whose argument is not in it fails the tests: say here what it names.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from functools import cached_property
from typing import Any

from practice.models import LessonNote, PrintJob
from studio.links import tokens
from studio.models import Family, RosterImport, SetApart, Student, Studio
from tests import factories as rows
from tests import more_factories as more

MOMENT = rows.NOW
ARGUMENT = re.compile(r"<(?:\w+:)?(\w+)>")


class World:
    """Objects of `studio`, made when first asked for."""

    def __init__(self, studio: Studio) -> None:
        self.studio = studio

    @cached_property
    def student(self) -> Student:
        family = rows.FamilyFactory.create(studio=self.studio)
        return rows.StudentFactory.create(family=family)

    @property
    def family(self) -> Family:
        return self.student.family

    @cached_property
    def guardian(self) -> Any:
        return rows.GuardianFactory.create(family=self.family)

    @cached_property
    def term(self) -> Any:
        """With a lesson in it, so that there is something to print."""
        assert self.lesson
        return rows.TermFactory.create(studio=self.studio)

    @cached_property
    def closure(self) -> Any:
        return rows.ClosureFactory.create(studio=self.studio)

    @cached_property
    def slot(self) -> Any:
        return rows.SlotFactory.create(studio=self.studio, students=[self.student])

    @cached_property
    def lesson(self) -> Any:
        return rows.LessonFactory.create(student=self.student)

    @cached_property
    def work(self) -> Any:
        return rows.WorkFactory.create(studio=self.studio)

    @cached_property
    def idea(self) -> Any:
        return rows.IdeaFactory.create(studio=self.studio)

    @cached_property
    def bowing(self) -> Any:
        return more.BowingFactory.create(studio=self.studio)

    @cached_property
    def piece(self) -> Any:
        return rows.PieceInHandFactory.create(student=self.student, work=self.work)

    @cached_property
    def spot(self) -> Any:
        return rows.SpotFactory.create(piece=self.piece)

    @cached_property
    def favourite(self) -> Any:
        return rows.FavouriteFactory.create(student=self.student, work=self.work)

    @cached_property
    def score(self) -> Any:
        return rows.ScoreFactory.create(studio=self.studio, work=self.work)

    @cached_property
    def week(self) -> Any:
        assignment = rows.AssignmentFactory.create(student=self.student)
        rows.SheetFactory.create(plan=rows.PlanFactory.create(assignment=assignment))
        return assignment

    @cached_property
    def note(self) -> Any:
        return LessonNote.objects.create(lesson=self.lesson, text="Ask for the rosin.")

    @cached_property
    def link(self) -> Any:
        return more.HomeLinkFactory.create(family=self.family)

    @cached_property
    def recital(self) -> Any:
        return self.performance.programme.recital

    @cached_property
    def performance(self) -> Any:
        recital = rows.RecitalFactory.create(studio=self.studio)
        return rows.PerformanceFactory.create(
            programme=rows.ProgrammeFactory.create(recital=recital),
            student=self.student,
            work=self.work,
        )

    @cached_property
    def job(self) -> Any:
        return PrintJob.objects.create(
            studio=self.studio, kind="reports", term=self.term, asked=MOMENT
        )

    @cached_property
    def set_apart(self) -> Any:
        return SetApart.objects.create(
            studio=self.studio, label="Family 1", erased=dt.date(2026, 11, 1)
        )

    @cached_property
    def roster(self) -> Any:
        return RosterImport.objects.create(studio=self.studio, name="list.csv", made=MOMENT)

    @cached_property
    def secret(self) -> str:
        return tokens.issue(more.HomeLinkFactory.build(family=self.family))


OBJECTS: dict[str, Callable[[World], Any]] = {
    "bowings/": lambda world: world.bowing,
    "calendar/closures/": lambda world: world.closure,
    "calendar/families/": lambda world: world.family,
    "calendar/terms/": lambda world: world.term,
    "calendar/terms/*/families/": lambda world: world.family,
    "calendar/weekly/": lambda world: world.slot,
    "families/": lambda world: world.family,
    "favourites/": lambda world: world.favourite,
    "guardians/": lambda world: world.guardian,
    "home-links/": lambda world: world.link,
    "home/*/": lambda world: world.student,
    "home/*/*/reports/": lambda world: world.term,
    "home/*/*/sheets/": lambda world: world.week,
    "lessons/": lambda world: world.lesson,
    "notes/": lambda world: world.note,
    "pieces/": lambda world: world.piece,
    "printing/": lambda world: world.job,
    "printing/reports/": lambda world: world.term,
    "recitals/": lambda world: world.recital,
    "recitals/*/pieces/": lambda world: world.performance,
    "recitals/*/thanks/": lambda world: world.student,
    "repertoire/": lambda world: world.work,
    "repertoire/ideas/": lambda world: world.idea,
    "reports/": lambda world: world.term,
    "reports/*/": lambda world: world.student,
    "scores/": lambda world: world.score,
    "settings/data/set-apart/": lambda world: world.set_apart,
    "settings/roster/": lambda world: world.roster,
    "spots/": lambda world: world.spot,
    "students/": lambda world: world.student,
    "weeks/": lambda world: world.week,
}
# Arguments that name nobody's object, each with a value that is found.
VALUES: dict[str, Any] = {
    "calendar/day/": 2026,
    "calendar/day/*/": 11,
    "calendar/day/*/*/": 25,
    "calendar/week/": 2026,
    "calendar/week/*/": 11,
    "calendar/week/*/*/": 25,
    "calendar/month/": 2026,
    "calendar/month/*/": 11,
    "engraved/": "nothing",
    "sounding/": "nothing",
    "home/*/*/": rows.DAY,
    "scores/*/leaf-": 1,
    "scores/*/page-": 1,
    "reports/*/*/edition-": 1,
    "reports/year/": "calendar",
    "reports/year/*/": 2026,
    "weeks/*/sheet-": 1,
    "settings/backups/": "nothing",  # belongs to the installation; closed where there are several
    "ticket/": "nothing",
}
# Arguments that are a secret; whoever has one of her own must not reach another's with it.
SECRETS = {"home/", "calendars/"}


def let_go(answer: Any) -> None:
    """Close the file an answer sends; close() of the answer would take the database along."""
    for close in answer._resource_closers:
        close()


def arguments(route: str) -> dict[str, str]:
    """Each argument of a route with its key: {"pk": "recitals/", "piece": "recitals/*/pieces/"}."""
    found = {}
    for match in ARGUMENT.finditer(route):
        found[match[1]] = ARGUMENT.sub("*", route[: match.start()])
    return found

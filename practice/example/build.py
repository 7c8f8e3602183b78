"""Writes the invented studio into the database, a few students at a time."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from random import Random
from typing import Final, TypeVar

from django.db import connection, models, transaction

from practice.example.cast import WEEKDAYS, Cast, Household, Pupil, load_cast, load_pieces
from practice.example.data_room import fill_data_room
from practice.example.given import give_reports, print_sheets
from practice.example.histories import Chronicle, Life, Weeks, live
from practice.example.invented import Shelf, more_households, with_earlier_years
from practice.example.learning import Library
from practice.example.lessons import Timetable, timetable
from practice.example.recitals import invent_recitals
from practice.example.record import write_record
from practice.example.scores import give_scores
from practice.example.seasons import Year, year_around
from practice.example.sizes import sizes_of
from practice.example.voices import Voices
from practice.home.links import give_sheet_links
from practice.logs.models import LessonNote, LogEntry, Mark, ScaleHeard, Word
from practice.plans.models import Assignment, Item, Plan
from practice.repertoire.catalogue import load_catalogue
from practice.repertoire.models import (
    EtudeInHand,
    Favourite,
    Idea,
    PieceInHand,
    ScaleInHand,
    Spot,
    Work,
)
from studio.access.models import Studio
from studio.lessons.models import Lesson, LessonRules, Slot
from studio.links import tokens
from studio.links.models import HomeLink
from studio.people.models import Family, Guardian, SizeHeld, Student
from studio.terms.models import Closure, Term

SEED: Final = 440
AT_ONCE: Final = 8  # students whose rows are held in memory together
ROWS_AT_ONCE: Final = 2000
UPDATED_AT_ONCE: Final = 200
GROWN: Final[tuple[type[models.Model], ...]] = (
    Student,
    Lesson,
    PieceInHand,
    Spot,
    Assignment,
    Plan,
    Item,
    LogEntry,
)
STUDENT: Final = HomeLink.Opens.STUDENT
NO_LINK: Final = ("never", "paper", "file")  # habits of homes that need none
Row = TypeVar("Row", bound=models.Model)


@dataclass(frozen=True)
class Written:
    """How much was invented."""

    students: int
    lessons: int
    weeks: int
    items: int
    entries: int
    words: int


@transaction.atomic
def build_example(
    studio: Studio, today: dt.date, *, seed: int = SEED, students: int = 24, years: int = 0
) -> Written:
    """Fills a studio that has no families yet. Same day, seed and size: same rows.

    `years` of history instead of one and a half terms; `students` beyond the cast are put
    together from lists of names.
    """
    load_catalogue()
    cast = load_cast()
    year = year_around(today, past_terms=max(1, -(-years * 52 // 15)))
    library = _library(studio)
    households = _households(cast, year, library, seed, students, years)
    pupils = _people(studio, households, year)
    _calendar(studio, year)
    table = timetable(studio, year, cast.teacher, pupils)
    _save_timetable(table)
    ideas = list(Idea.objects.filter(studio=None).order_by("title"))
    _give_links(households, pupils)
    voices = Voices(Random(f"{seed}:words"))  # noqa: S311
    counts = []
    for start in range(0, len(pupils), AT_ONCE):
        lives = [
            live(pupil, student, table.of[pupil.key], year, library, seed)
            for pupil, student in pupils[start : start + AT_ONCE]
        ]
        _save_hands(lives)
        counts.append(_save_weeks([Chronicle(each, year, ideas, voices).write() for each in lives]))
    give_scores(studio, today - dt.timedelta(days=40))
    invent_recitals(studio, year)
    give_reports(studio, year, [student for _, student in pupils], seed)
    print_sheets(studio, today)
    fill_data_room(studio, today, [student for _, student in pupils])
    lessons = len(table.lessons) + len(table.make_ups)
    weeks, items, entries, words = map(sum, zip(*counts, strict=True))
    write_record(studio, today)
    return Written(len(pupils), lessons, weeks, items, entries, words)


def _library(studio: Studio) -> Library:
    """The cast's pieces as works; those without a key of the catalogue are the teacher's own."""
    known = {work.catalogue_key: work for work in Work.objects.filter(studio=None)}
    pieces = {
        name: known[text.work]
        if text.work
        else Work(
            studio=studio,
            composer=studio.teacher,
            title=text.title,
            key=text.key,
            techniques=list(text.techniques),
            difficulty=text.difficulty,
            sure=Work.Sure.OWN,
        )
        for name, text in load_pieces().items()
    }
    Work.objects.bulk_create([work for work in pieces.values() if work.pk is None])
    exercises = (Work.Kind.ETUDE, Work.Kind.METHOD)
    etudes = {key: work for key, work in known.items() if work.kind in exercises}
    return Library(load_pieces(), pieces, etudes)


def _households(
    cast: Cast, year: Year, library: Library, seed: int, students: int, years: int
) -> list[Household]:
    shelf = Shelf(
        pieces=[(work.difficulty or 3, name) for name, work in library.pieces.items()],
        etudes=[(work.difficulty or 3, key) for key, work in library.etudes.items()],
    )
    told = sum(len(each.students) for each in cast.households)
    more = more_households(max(0, students - told), cast.households, years, shelf, seed)
    return [
        replace(
            each,
            students=tuple(
                with_earlier_years(pupil, year.first_week, shelf, seed) for pupil in each.students
            ),
        )
        for each in (*cast.households, *more)
    ]


def _people(
    studio: Studio, households: Iterable[Household], year: Year
) -> list[tuple[Pupil, Student]]:
    families, guardians, pupils = [], [], []
    for each in households:
        family = Family(
            studio=studio, name=each.name, notes=each.notes, shares_violin=each.shares_violin
        )
        families.append(family)
        guardians += [Guardian(family=family, **vars(person)) for person in each.guardians]
        pupils += [(pupil, student_row(family, pupil, year)) for pupil in each.students]
    Family.objects.bulk_create(families)
    Guardian.objects.bulk_create(guardians)
    students = [student for _, student in pupils]
    Student.objects.bulk_create(students)
    SizeHeld.objects.bulk_create(
        [size for student in students for size in sizes_of(student, year.today)]
    )
    return pupils


def student_row(family: Family, pupil: Pupil, year: Year) -> Student:
    weekday = year.weekday(pupil.day)
    minutes = pupil.minutes.by_weekday(weekday)
    named = dict(enumerate(pupil.sessions, start=1))
    sessions = {
        key: value
        for n in (1, 2, 3)
        for key, value in zip(
            (f"session_{n}", f"session_{n}_starts"), named.get(n, ("", None)), strict=True
        )
    }
    return Student(
        family=family,
        given_name=pupil.given,
        family_name=pupil.family,
        birth_date=year.today - dt.timedelta(days=round(pupil.age * 365.25)),
        instrument_size=pupil.size,
        sheet_style=pupil.style,
        notes=pupil.notes,
        status=Student.Status.LEARNING if pupil.paused is None else Student.Status.PAUSED,
        started=year.day(-pupil.since, pupil.day),
        **{f"minutes_{day}": minutes[n] for n, day in enumerate(WEEKDAYS)},
        **sessions,
    )


def _give_links(households: Iterable[Household], pupils: Iterable[tuple[Pupil, Student]]) -> None:
    """Homes that log by themselves have a link, and so has each home with several children.

    Two homes of one child have one each. Every child of a home with a link has a code on its sheet.
    """
    students = {pupil.key: student for pupil, student in pupils}
    for each in households:
        first, one = each.students[0], len(each.students) == 1
        if one and first.habit in NO_LINK:
            continue
        child = students[first.key]
        holders = [person.name for person in each.guardians] or [child.given_name]
        for name in holders if first.habit == "two homes" else holders[:1]:
            student = child if one else None
            opens = STUDENT if one else HomeLink.Opens.FAMILY
            tokens.issue(HomeLink(opens=opens, family=child.family, student=student, label=name))
        give_sheet_links(students[pupil.key] for pupil in each.students)


def _calendar(studio: Studio, year: Year) -> None:
    terms = [Term(studio=studio, **vars(term)) for term in year.terms]
    Term.objects.bulk_create(terms)
    Closure.objects.bulk_create(
        [Closure(studio=studio, **vars(closure)) for closure in year.closures]
    )
    LessonRules.objects.get_or_create(studio=studio, defaults={"day_opens": dt.time(8)})


def _save_timetable(table: Timetable) -> None:
    Slot.objects.bulk_create([slot for slot, _ in table.slots])
    Slot.students.through.objects.bulk_create(
        Slot.students.through(slot=slot, student=student)
        for slot, students in table.slots
        for student in students
    )
    Lesson.objects.bulk_create(table.lessons, ROWS_AT_ONCE)
    Lesson.objects.bulk_create(table.make_ups)


def _save_hands(lives: Sequence[Life]) -> None:
    """Spots come before scales, for a scale may borrow a spot's bowing."""
    learners = [life.learner for life in lives]
    PieceInHand.objects.bulk_create([row for each in learners for row in each.pieces])
    Spot.objects.bulk_create([row for each in learners for row in each.spots])
    for learner in learners:
        learner.name_bowings()
    ScaleInHand.objects.bulk_create([row for each in learners for row in each.scales])
    EtudeInHand.objects.bulk_create([row for each in learners for row in each.etudes])
    Favourite.objects.bulk_create([row for each in learners for row in each.favourites])


def _save_weeks(found: Sequence[Weeks]) -> tuple[int, int, int, int]:
    """Counts of weeks, items, log entries and words."""
    assignments = [row for weeks in found for row in weeks.assignments]
    _save_with_times(Assignment, assignments, ("decided", "changed"))
    _save_with_times(Plan, [row for weeks in found for row in weeks.plans], ("changed",))
    items = [row for weeks in found for row in weeks.items]
    Item.objects.bulk_create(items, ROWS_AT_ONCE)
    entries = [row for weeks in found for row in weeks.entries]
    LogEntry.objects.bulk_create(entries, ROWS_AT_ONCE)
    _count_rows()
    words = [row for weeks in found for row in weeks.words]
    _save_with_times(Word, words, ("written",))
    Mark.objects.bulk_create([row for weeks in found for row in weeks.marks], ROWS_AT_ONCE)
    ScaleHeard.objects.bulk_create(
        [row for weeks in found for row in weeks.scales_heard], ROWS_AT_ONCE
    )
    _save_with_times(LessonNote, [row for weeks in found for row in weeks.notes], ("written",))
    return len(assignments), len(items), len(entries), len(words)


def _count_rows() -> None:
    """PostgreSQL plans queries by counts it would otherwise take only some time after commit."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            tables = [connection.ops.quote_name(each._meta.db_table) for each in GROWN]
            cursor.execute(f"ANALYZE {', '.join(tables)}")


def _save_with_times(model: type[Row], rows: Sequence[Row], names: Sequence[str]) -> None:
    """Saving stamps such fields with the present; afterwards they get their own past again."""
    meant = [[getattr(row, name) for name in names] for row in rows]
    model._default_manager.bulk_create(rows, ROWS_AT_ONCE)
    for row, values in zip(rows, meant, strict=True):
        for name, value in zip(names, values, strict=True):
            setattr(row, name, value)
    model._default_manager.bulk_update(rows, names, UPDATED_AT_ONCE)

"""Rows for tests, with defaults; every value can be overridden by the test."""

from __future__ import annotations

import datetime as dt
import hashlib
from typing import Any

import factory
from django.contrib.auth import get_user_model
from factory.django import DjangoModelFactory

from practice import models as practice
from studio import models as studio

# A Wednesday; tests that need "today" freeze the clock near it.
DAY = dt.date(2026, 11, 25)
NOW = dt.datetime(2026, 11, 25, 12, 0, tzinfo=dt.UTC)


class UserFactory(DjangoModelFactory[Any]):
    class Meta:
        model = get_user_model()
        skip_postgeneration_save = True

    username = factory.Sequence(lambda n: f"teacher{n}@example.org")
    email = factory.SelfAttribute("username")
    password = factory.django.Password("five strings minus one")


class StudioFactory(DjangoModelFactory[studio.Studio]):
    class Meta:
        model = studio.Studio

    owner = factory.SubFactory(UserFactory)
    name = "Achterberg Violin Studio"
    teacher = "Marisol"
    zone = "Europe/Lisbon"


class FamilyFactory(DjangoModelFactory[studio.Family]):
    class Meta:
        model = studio.Family

    studio = factory.SubFactory(StudioFactory)
    name = factory.Sequence(lambda n: f"Okonkwo-Reyes {n}")


class GuardianFactory(DjangoModelFactory[studio.Guardian]):
    class Meta:
        model = studio.Guardian

    family = factory.SubFactory(FamilyFactory)
    name = "Tomás Okonkwo-Reyes"
    relation = "father"
    email = "tomas@example.org"


class StudentFactory(DjangoModelFactory[studio.Student]):
    class Meta:
        model = studio.Student

    family = factory.SubFactory(FamilyFactory)
    given_name = "Imani"
    family_name = "Okonkwo-Reyes"
    started = dt.date(2026, 1, 12)


class TermFactory(DjangoModelFactory[studio.Term]):
    class Meta:
        model = studio.Term

    studio = factory.SubFactory(StudioFactory)
    name = "Autumn term 2026"
    starts = dt.date(2026, 9, 14)
    ends = dt.date(2026, 12, 11)


class ClosureFactory(DjangoModelFactory[studio.Closure]):
    class Meta:
        model = studio.Closure

    studio = factory.SubFactory(StudioFactory)
    name = "Half-term"
    starts = dt.date(2026, 10, 26)
    ends = dt.date(2026, 10, 30)


class RecitalFactory(DjangoModelFactory[studio.Recital]):
    class Meta:
        model = studio.Recital

    studio = factory.SubFactory(StudioFactory)
    name = "Winter recital"
    date = dt.date(2026, 12, 5)  # a Saturday
    starts = dt.time(15)
    place = "Town library, small hall"


class SlotFactory(DjangoModelFactory[studio.Slot]):
    class Meta:
        model = studio.Slot
        skip_postgeneration_save = True

    studio = factory.SubFactory(StudioFactory)
    weekday = 2
    starts = dt.time(16, 15)
    minutes = 30
    first_day = dt.date(2026, 9, 14)

    @factory.post_generation
    def students(slot: Any, create: bool, extracted: list[Any] | None, **_: Any) -> None:  # noqa: N805
        if create and extracted:
            slot.students.set(extracted)


class LessonFactory(DjangoModelFactory[studio.Lesson]):
    class Meta:
        model = studio.Lesson

    student = factory.SubFactory(StudentFactory)
    date = DAY
    starts = dt.time(16, 15)
    minutes = 30


class WorkFactory(DjangoModelFactory[practice.Work]):
    class Meta:
        model = practice.Work

    composer = "Christian Petzold"
    title = "Minuet in G"
    key = "G major"
    sure = practice.Work.Sure.MEMORY
    catalogue_key = factory.Sequence(lambda n: f"work-{n}")


class EtudeWorkFactory(WorkFactory):
    composer = "Franz Wohlfahrt"
    title = "60 Studies"
    opus = "45"
    number = factory.Sequence(lambda n: str(n + 1))
    kind = practice.Work.Kind.ETUDE


class PieceInHandFactory(DjangoModelFactory[practice.PieceInHand]):
    class Meta:
        model = practice.PieceInHand

    student = factory.SubFactory(StudentFactory)
    work = factory.SubFactory(WorkFactory)
    place = 1
    stage = practice.PieceInHand.Stage.WORKING_UP
    started = dt.date(2026, 10, 7)


class SpotFactory(DjangoModelFactory[practice.Spot]):
    class Meta:
        model = practice.Spot

    piece = factory.SubFactory(PieceInHandFactory)
    first_bar = 3
    last_bar = factory.SelfAttribute("first_bar")
    what = "C is a low 2, down before the bow turns"
    tempo_now = 60
    tempo_goal = 80
    opened = dt.date(2026, 11, 4)


class ScaleInHandFactory(DjangoModelFactory[practice.ScaleInHand]):
    class Meta:
        model = practice.ScaleInHand

    student = factory.SubFactory(StudentFactory)
    key = "G major"
    octaves = 2
    bowing_1 = "slur2"
    since = dt.date(2026, 11, 11)


class EtudeInHandFactory(DjangoModelFactory[practice.EtudeInHand]):
    class Meta:
        model = practice.EtudeInHand

    student = factory.SubFactory(StudentFactory)
    work = factory.SubFactory(EtudeWorkFactory)
    lines = "lines 1 and 2"
    since = dt.date(2026, 11, 4)


class FavouriteFactory(DjangoModelFactory[practice.Favourite]):
    class Meta:
        model = practice.Favourite

    student = factory.SubFactory(StudentFactory)
    work = factory.SubFactory(WorkFactory, title="Ode to Joy", composer="Ludwig van Beethoven")
    since = dt.date(2026, 10, 2)


class IdeaFactory(DjangoModelFactory[practice.Idea]):
    class Meta:
        model = practice.Idea

    title = factory.Sequence(lambda n: f"Two voices {n}")
    text = "The G string asks a question, the E string answers. Any notes you like."


class ProgrammeFactory(DjangoModelFactory[practice.Programme]):
    class Meta:
        model = practice.Programme

    recital = factory.SubFactory(RecitalFactory)


class PerformanceFactory(DjangoModelFactory[practice.Performance]):
    class Meta:
        model = practice.Performance

    programme = factory.SubFactory(ProgrammeFactory)
    student = factory.SubFactory(StudentFactory)
    work = factory.SubFactory(WorkFactory)
    place = factory.Sequence(lambda n: n + 1)


class AssignmentFactory(DjangoModelFactory[practice.Assignment]):
    class Meta:
        model = practice.Assignment

    student = factory.SubFactory(StudentFactory)
    starts = dt.date(2026, 11, 26)
    minutes = factory.LazyFunction(lambda: [25, 25, 35, 0, 25, 25, 10])
    listen_for = "The *ring*. When your G, D and A are in tune, the open string hums along."


class PlanFactory(DjangoModelFactory[practice.Plan]):
    class Meta:
        model = practice.Plan

    assignment = factory.SubFactory(AssignmentFactory)
    builder_version = 1
    inputs = factory.LazyFunction(dict)


class ItemFactory(DjangoModelFactory[practice.Item]):
    class Meta:
        model = practice.Item

    plan = factory.SubFactory(PlanFactory)
    date = dt.date(2026, 11, 26)
    session = 1
    position = factory.Sequence(lambda n: n)
    key = factory.Sequence(lambda n: f"etude:{n}")
    part = "etude"
    minutes = 5
    title = "Etude"


class LogEntryFactory(DjangoModelFactory[practice.LogEntry]):
    class Meta:
        model = practice.LogEntry

    item = factory.SubFactory(ItemFactory)
    minutes = 5
    source = practice.LogEntry.Source.HOME
    done_told = dt.datetime(2026, 11, 26, 17, 0, tzinfo=dt.UTC)


def _sheet_data() -> dict[str, Any]:
    from tests.practice.sheets.samples import READER

    return READER.to_json()


class SheetFactory(DjangoModelFactory[practice.Sheet]):
    class Meta:
        model = practice.Sheet

    plan = factory.SubFactory(PlanFactory)
    data = factory.LazyFunction(_sheet_data)


SCORE = (
    "X:1\nT:The Lantern Boat\nM:3/4\nL:1/8\nK:G\nD2|d2 (GA) (Bc)|d2 G2 G2|"
    "(G/A/B/c/) (d/e/f/g/) (a/b/c'/d'/)|g4 ^c2|[K:D] (d^e) (f=g) .a.b|d4:|\n"
)


class ScoreFactory(DjangoModelFactory[practice.Score]):
    """Six bars after a pickup, with a change of key, a run and accidentals; invented."""

    class Meta:
        model = practice.Score

    studio = factory.SubFactory(StudioFactory)
    work = factory.SubFactory(WorkFactory)
    name = "lantern-boat.abc"
    data = SCORE.encode()
    digest = hashlib.sha256(SCORE.encode()).hexdigest()
    bars = 7
    added = dt.datetime(2026, 11, 4, 9, tzinfo=dt.UTC)

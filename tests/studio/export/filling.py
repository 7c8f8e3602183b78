"""A studio with rows of every kind, its texts and choices drawn by Hypothesis."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Callable
from typing import Any

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from practice import models as practice
from practice.music.bowing_list import BOWINGS
from practice.planning.types import (
    DayIn,
    EtudeIn,
    ExploreIn,
    FavouriteIn,
    History,
    Logged,
    PieceIn,
    PinnedItem,
    Pins,
    ScaleIn,
    SpotIn,
    WeekInputs,
)
from studio import models as studio
from studio.links import tokens
from tests import factories
from tests.practice.reports.material import report_data

Draw = Callable[[st.SearchStrategy[Any]], Any]

# Signs that trouble files: quotes, separators, formulas, other scripts, both directions.
SIGNS = st.sampled_from([*"aß=+-@'\",;:|\\<&{}[]()%# ", "é", "م", "ש", "字", "𝄞", "…", "\u0301"])
LINES = st.text(SIGNS, max_size=20)
NAMES = st.text(SIGNS, min_size=1, max_size=20)
NOTES = st.text(SIGNS | st.just("\n"), max_size=60)
DAYS = st.dates(dt.date(2026, 1, 1), dt.date(2027, 12, 31))
MOMENTS = st.datetimes(dt.datetime(2020, 1, 1), dt.datetime(2030, 1, 1), timezones=st.just(dt.UTC))  # noqa: DTZ001
TIMES = st.times(dt.time(6), dt.time(21)).map(lambda time: time.replace(microsecond=0))
TEMPOS = st.none() | st.integers(20, 300)
FEW = st.integers(1, 3)


def fill(draw: Draw, **of_studio: Any) -> studio.Studio:
    """A studio of its own; every kind of row at least once."""
    one = factories.StudioFactory.create(
        name=draw(NAMES), teacher=draw(NAMES), week_start=draw(st.integers(0, 6)), **of_studio
    )
    _Filling(one, draw).run()
    return one


def filled() -> studio.Studio:
    """One studio for tests of one example."""
    made: list[studio.Studio] = []

    @settings(max_examples=1, database=None, derandomize=True, phases=[Phase.generate])
    @given(st.data())
    def once(data: st.DataObject) -> None:
        made.append(fill(data.draw))

    once()
    return made[0]


def fewer(times: int) -> settings:
    """For examples that write a whole studio: so many times fewer, and none made smaller."""
    return settings(
        max_examples=max(5, settings().max_examples // times),
        phases=[Phase.explicit, Phase.reuse, Phase.generate],
    )


class _Filling:
    def __init__(self, one: studio.Studio, draw: Draw) -> None:
        self.studio, self.draw = one, draw
        self.students: list[studio.Student] = []

    def run(self) -> None:
        self.settings()
        for _ in range(self.draw(FEW)):
            self.family()
        self.term = factories.TermFactory.create(studio=self.studio, name=self.draw(NAMES))
        factories.ClosureFactory.create(studio=self.studio, name=self.draw(NAMES))
        self.library()
        for student in self.students:
            self.lessons(student)
            self.week(student, self.in_hand(student))
            self.report(student)
        self.slots()
        self.recital()
        self.brought_and_set_apart()

    def settings(self) -> None:
        draw = self.draw
        studio.LessonRules.objects.create(
            studio=self.studio, notice_hours=draw(st.integers(0, 300)), day_opens=dt.time(8)
        )
        studio.InstrumentSizeNote.objects.create(studio=self.studio, size="1/2", fits=draw(NAMES))
        starts = draw(MOMENTS)
        studio.BusyTime.objects.create(
            studio=self.studio,
            what=draw(LINES),
            starts=starts,
            ends=starts + dt.timedelta(minutes=draw(st.integers(1, 999))),
        )
        tokens.issue(studio.TeacherLink(studio=self.studio, label=draw(LINES)))

    def family(self) -> None:
        draw = self.draw
        family = factories.FamilyFactory.create(
            studio=self.studio,
            name=draw(NAMES),
            notes=draw(NOTES),
            shares_violin=draw(st.booleans()),
        )
        for _ in range(draw(FEW)):
            factories.GuardianFactory.create(family=family, name=draw(NAMES), relation=draw(LINES))
        for _ in range(draw(st.integers(1, 2))):
            student = factories.StudentFactory.create(
                family=family,
                given_name=draw(NAMES),
                family_name=draw(LINES),
                birth_date=draw(st.none() | DAYS),
                notes=draw(NOTES),
                session_1_starts=draw(st.none() | TIMES),
            )
            self.students.append(student)
            tokens.issue(studio.HomeLink(opens="student", family=family, student=student))
        link = studio.HomeLink(opens="family", family=family, revoked=draw(st.none() | MOMENTS))
        tokens.issue(link)

    def library(self) -> None:
        draw = self.draw
        self.works = [
            factories.WorkFactory.create(title=draw(NAMES)),
            factories.WorkFactory.create(
                studio=self.studio,
                title=draw(NAMES),
                composer=draw(LINES),
                techniques=draw(st.lists(LINES, max_size=3)),
                catalogue_key="",
            ),
        ]
        self.bowing = practice.Bowing.objects.create(
            studio=self.studio, name=draw(NAMES), pattern=BOWINGS[2].as_json()
        )
        self.ideas = [
            factories.IdeaFactory.create(),
            factories.IdeaFactory.create(studio=self.studio, text=draw(NAMES)),
        ]
        factories.ScoreFactory.create(studio=self.studio, work=draw(st.sampled_from(self.works)))

    def lessons(self, student: studio.Student) -> None:
        draw = self.draw
        first = factories.LessonFactory.create(
            student=student,
            status="cancelled-family",
            make_up_owed=draw(st.booleans()),
            place=draw(LINES),
            with_notice=draw(st.none() | st.booleans()),
        )
        self.lesson = factories.LessonFactory.create(
            student=student, starts=draw(TIMES), makes_up=first, date=draw(DAYS), status="kept"
        )
        practice.Mark.objects.create(
            lesson=self.lesson, aspect="bow", heard=draw(st.sampled_from([1, 2, 3]))
        )
        practice.LessonNote.objects.create(
            lesson=first, text=draw(NAMES), on_sheet=draw(st.booleans())
        )
        practice.Word.objects.create(
            student=student, date=draw(DAYS), text=draw(NAMES), source="home", key=uuid.uuid4()
        )
        practice.Receipt.objects.create(key=uuid.uuid4(), student=student, received=draw(MOMENTS))

    def in_hand(self, student: studio.Student) -> WeekInputs:
        """Everything a student has in hand, as the inputs of a week."""
        draw = self.draw
        work = draw(st.sampled_from(self.works))
        piece = factories.PieceInHandFactory.create(student=student, work=work, note=draw(LINES))
        spot = factories.SpotFactory.create(piece=piece, what=draw(NAMES))
        bowings = st.sampled_from(
            ["slur2", f"spot:{spot.pk}", f"own:{self.bowing.pk}+doubled", "spot:999999", "spot:x"]
        )
        scale = factories.ScaleInHandFactory.create(
            student=student, bowing_1=draw(bowings), bowing_2=draw(bowings), tempo_now=draw(TEMPOS)
        )
        practice.ScaleHeard.objects.create(lesson=self.lesson, scale=scale, tempo=draw(TEMPOS))
        etude = factories.EtudeInHandFactory.create(student=student, lines=draw(LINES))
        favourite = factories.FavouriteFactory.create(student=student)
        idea = draw(st.sampled_from(self.ideas))
        gone = "spot:999999"
        return WeekInputs(
            days=(DayIn(dt.date(2026, 11, 26), 25, lesson=True),),
            scale=ScaleIn(scale.pk, scale.key),
            etude=EtudeIn(etude.pk, "Etude"),
            pieces=(PieceIn(piece.pk, 1, "Piece"),),
            spots=(SpotIn(spot.pk, 1, "bar 3"),),
            favourites=(FavouriteIn(favourite.pk, draw(NAMES)),),
            explore=ExploreIn(draw(NAMES), draw(st.sampled_from([None, idea.pk]))),
            history=History(
                logged=(Logged(dt.date(2026, 11, 20), f"run:{piece.pk}", 5),),
                left_out=(f"etude:{etude.pk}", gone, "explore"),
            ),
            pins=Pins(items=(PinnedItem(f"scale:{scale.pk}", dt.date(2026, 11, 27)),)),
        )

    def week(self, student: studio.Student, inputs: WeekInputs) -> None:
        draw = self.draw
        scale, favourite = inputs.scale, inputs.favourites[0]
        assignment = factories.AssignmentFactory.create(
            student=student,
            lesson=self.lesson,
            listen_for=draw(LINES),
            to_check=draw(LINES),
            favourite_id=favourite.id,
            idea=draw(st.sampled_from([None, *self.ideas])),
            pins=inputs.to_json()["pins"],
        )
        plan = factories.PlanFactory.create(assignment=assignment, inputs=inputs.to_json())
        keys = [f"spot:{inputs.spots[0].id}", "explore", "spot:999999", "free:1"]
        for key in keys:
            item = factories.ItemFactory.create(
                plan=plan,
                key=key,
                title=draw(NAMES),
                scale_id=scale and draw(st.sampled_from([None, scale.id])),
            )
            if draw(st.booleans()) or key == keys[0]:
                factories.LogEntryFactory.create(
                    item=item, tempo=draw(TEMPOS), minutes=draw(st.integers(0, 240))
                )
        factories.SheetFactory.create(plan=plan)

    def report(self, student: studio.Student) -> None:
        draw = self.draw
        given = draw(st.none() | MOMENTS)
        practice.Report.objects.create(
            student=student,
            term=self.term,
            words=draw(NOTES),
            given=given,
            figures=report_data(words=draw(LINES)).to_json() if given else None,
        )

    def slots(self) -> None:
        some = self.draw(st.lists(st.sampled_from(self.students), unique=True, min_size=1))
        factories.SlotFactory.create(studio=self.studio, students=some, place=self.draw(LINES))

    def recital(self) -> None:
        draw = self.draw
        recital = factories.RecitalFactory.create(studio=self.studio, name=draw(NAMES))
        recital.players.set(self.students)
        programme = factories.ProgrammeFactory.create(recital=recital, thanks=draw(NOTES))
        factories.PerformanceFactory.create(
            programme=programme, student=self.students[0], work=self.works[0]
        )
        practice.Thanks.objects.create(
            programme=programme, student=self.students[0], words=draw(NAMES)
        )

    def brought_and_set_apart(self) -> None:
        draw = self.draw
        made = studio.RosterImport.objects.create(
            studio=self.studio, name=draw(NAMES), made=draw(MOMENTS)
        )
        made.students.set(self.students[:1])
        made.families.set([self.students[0].family])
        studio.SetApart.objects.create(
            studio=self.studio, label="Family 1", erased=draw(DAYS), lines=[{"student": 1}]
        )

import datetime as dt
from zoneinfo import ZoneInfo

import pytest

from studio.lessons.booking import Refused
from studio.lessons.schedule import fill
from studio.lessons.zone_move import move_zone
from studio.models import Lesson, Student, Studio
from tests.factories import DAY, LessonFactory, SlotFactory, TermFactory

NOON = dt.datetime.combine(DAY, dt.time(12), tzinfo=dt.UTC)
TOKYO = "Asia/Tokyo"


@pytest.fixture
def lessons(studio: Studio, student: Student) -> list[Lesson]:
    """Three Wednesdays at 16:15 in Lisbon; the first has been held."""
    term = TermFactory.create(studio=studio)
    SlotFactory.create(studio=studio, students=[student])
    fill(studio, [term], DAY)
    rows = list(Lesson.objects.order_by("date"))
    Lesson.objects.filter(pk=rows[0].pk).update(
        date=DAY - dt.timedelta(days=7), slot_day=DAY - dt.timedelta(days=7), status="kept"
    )
    return list(Lesson.objects.order_by("date"))


def test_lessons_may_stay_on_the_wall_clock(studio: Studio, lessons: list[Lesson]) -> None:
    assert move_zone(studio, TOKYO, NOON, keep_instants=False) == 2
    after = list(Lesson.objects.order_by("date"))
    assert [(one.date, one.starts) for one in after] == [(one.date, one.starts) for one in lessons]
    assert [one.sequence for one in after] == [0, 1, 1]
    assert after[1].begins(ZoneInfo(TOKYO)).hour == 7


def test_lessons_may_stay_at_their_instants(studio: Studio, lessons: list[Lesson]) -> None:
    lisbon = ZoneInfo("Europe/Lisbon")
    before = [one.begins(lisbon) for one in lessons]
    assert move_zone(studio, TOKYO, NOON, keep_instants=True) == 2
    after = list(Lesson.objects.order_by("date"))
    assert [one.begins(ZoneInfo(TOKYO)) for one in after] == before
    assert (after[1].date, after[1].starts) == (
        lessons[1].date + dt.timedelta(days=1),
        dt.time(1, 15),
    )
    assert [one.sequence for one in after] == [0, 0, 0]


def test_after_staying_at_instants_the_term_is_not_filled_twice(
    studio: Studio, lessons: list[Lesson]
) -> None:
    move_zone(studio, TOKYO, NOON, keep_instants=True)
    terms = list(studio.terms.all())
    assert fill(studio, terms, DAY).made <= 1  # today's Thursday 01:15 is new in the term
    assert fill(studio, terms, DAY).made == 0
    starts = set(Lesson.objects.filter(status="planned").values_list("starts", flat=True))
    assert starts == {dt.time(1, 15)}


@pytest.mark.parametrize("keep_instants", [True, False])
def test_lessons_held_stay_where_they_were(
    studio: Studio, lessons: list[Lesson], keep_instants: bool
) -> None:
    move_zone(studio, TOKYO, NOON, keep_instants=keep_instants)
    held = Lesson.objects.get(pk=lessons[0].pk)
    assert (held.date, held.starts) == (lessons[0].date, lessons[0].starts)
    assert held.begins(ZoneInfo(TOKYO)) == lessons[0].begins(ZoneInfo("Europe/Lisbon"))


def test_a_move_that_puts_a_lesson_into_a_gap_is_refused_as_a_whole(
    studio: Studio, student: Student
) -> None:
    LessonFactory.create(student=student, date=dt.date(2027, 3, 14), starts=dt.time(2, 30))
    with pytest.raises(Refused, match="go forward from 02:00 to 03:00"):
        move_zone(studio, "America/St_Johns", NOON, keep_instants=False)
    studio.refresh_from_db()
    assert studio.zone == "Europe/Lisbon"

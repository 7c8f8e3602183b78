import datetime as dt

from studio.lessons.days_off import day_off, snow_day
from studio.lessons.schedule import fill
from studio.models import Closure, Lesson, Student, Studio
from tests.factories import DAY, LessonFactory, SlotFactory, TermFactory

NOON = dt.datetime.combine(DAY, dt.time(12), tzinfo=dt.UTC)


def a_day(studio: Studio) -> list[Lesson]:
    """One lesson kept in the morning, two planned, and one of tomorrow."""
    return [
        LessonFactory.create(
            student__family__studio=studio, date=day, starts=dt.time(hour), status=status
        )
        for day, hour, status in [
            (DAY, 10, "kept"),
            (DAY, 14, "planned"),
            (DAY, 16, "planned"),
            (DAY + dt.timedelta(days=1), 14, "planned"),
        ]
    ]


def statuses() -> list[str]:
    return list(Lesson.objects.order_by("date", "starts").values_list("status", flat=True))


def test_a_day_off_cancels_what_is_planned_in_one_action(
    studio: Studio, other_student: Student
) -> None:
    a_day(studio)
    LessonFactory.create(student=other_student, starts=dt.time(23))
    lost = day_off(studio, DAY, NOON)
    assert statuses() == ["kept", *["cancelled-teacher"] * 2, "planned", "planned"]
    assert all(lesson.make_up_owed and lesson.make_up_until is None for lesson in lost)
    assert all(lesson.sequence == 1 for lesson in lost)
    assert not Closure.objects.exists()


def test_a_day_off_may_begin_in_the_afternoon(studio: Studio) -> None:
    a_day(studio)
    assert len(day_off(studio, DAY, NOON, from_time=dt.time(15))) == 1
    assert statuses() == ["kept", "planned", "cancelled-teacher", "planned"]


def test_a_snow_day_closes_the_studio_too(studio: Studio) -> None:
    a_day(studio)
    snow_day(studio, DAY, NOON, "Snow")
    snow_day(studio, DAY, NOON, "Snow")
    closure = Closure.objects.get()
    assert (closure.name, closure.starts, closure.ends) == ("Snow", DAY, DAY)
    assert statuses().count("cancelled-teacher") == 2


def test_a_snow_day_may_leave_no_make_ups_owed(studio: Studio) -> None:
    a_day(studio)
    assert all(lesson.make_up_owed for lesson in day_off(studio, DAY, NOON))
    Lesson.objects.filter(date=DAY).update(status="planned", make_up_owed=False)
    assert not any(
        lesson.make_up_owed for lesson in snow_day(studio, DAY, NOON, "Snow", owed=False)
    )


def test_after_a_day_off_the_term_is_not_filled_again(studio: Studio, student: Student) -> None:
    term = TermFactory.create(studio=studio)
    SlotFactory.create(studio=studio, students=[student])
    fill(studio, [term], DAY)
    day_off(studio, DAY, NOON)
    assert fill(studio, [term], DAY).made == 0

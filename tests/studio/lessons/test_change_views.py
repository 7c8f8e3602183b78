import datetime as dt

import pytest
from django.test import Client
from django.urls import reverse

from studio.lessons import changes
from studio.lessons.free_times import free_days
from studio.models import Lesson, LessonRules, Student, Studio
from tests.conftest import NOON, FrozenClock
from tests.factories import (
    DAY,
    ClosureFactory,
    LessonFactory,
    SlotFactory,
    StudentFactory,
    TermFactory,
)

pytestmark = pytest.mark.usefixtures("frozen")
FRIDAY = dt.date(2026, 11, 27)


@pytest.fixture
def lesson(student: Student) -> Lesson:
    return LessonFactory.create(student=student, date=FRIDAY)


def at(name: str, lesson: Lesson) -> str:
    return reverse(f"lessons:{name}", args=[lesson.pk])


def form(**values: object) -> dict[str, object]:
    return {
        "day": "2026-12-04",
        "starts": "10:00",
        "minutes": "30",
        "place": "",
        "link": "",
        **values,
    }


def test_a_lesson_is_moved_by_typing(signed_in: Client, lesson: Lesson) -> None:
    response = signed_in.post(at("lesson-move", lesson), form(place="Room 2"), follow=True)
    lesson.refresh_from_db()
    assert (lesson.date, lesson.starts, lesson.place) == (
        dt.date(2026, 12, 4),
        dt.time(10),
        "Room 2",
    )
    assert "on Friday 4 December" in response.content.decode()


def test_a_lesson_is_moved_by_one_press_on_a_free_time(signed_in: Client, lesson: Lesson) -> None:
    page = signed_in.get(at("lesson-move", lesson)).content.decode()
    offer = page.split('name="offer" value="')[1].split('"')[0]
    signed_in.post(at("lesson-move", lesson), form(day="", starts="", offer=offer))
    lesson.refresh_from_db()
    assert f"{lesson.date}T{lesson.starts:%H:%M}" == offer


def test_where_a_lesson_was_dropped_stands_in_the_form(signed_in: Client, lesson: Lesson) -> None:
    address = at("lesson-move", lesson) + "?day=2026-11-26&starts=15:10"
    page = signed_in.get(address).content.decode()
    assert 'value="2026-11-26"' in page
    assert 'value="15:10"' in page
    lesson.refresh_from_db()
    assert lesson.date == FRIDAY


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"day": ""}, "Day is missing."),
        ({"day": "soon"}, "“soon” is not a day."),
        ({"day": "0202-12-04"}, "The year of 0202-12-04 is too early."),
        ({"starts": "25:00"}, "“25:00” is not a time of day."),
        ({"minutes": "3"}, "3 is too little; at least 10."),
        ({"minutes": "900"}, "900 is too much; at most 240."),
        ({"offer": "whenever"}, "“whenever” is not one of the free times."),
        ({"link": "javascript:alert(1)"}, "not an address of a page"),
        ({"place": "a\nb"}, "Write it on one line."),
        ({"day": "2027-03-28", "starts": "01:30"}, "so 01:30 does not exist."),
    ],
)
def test_a_wrong_value_is_named_and_nothing_moves(
    signed_in: Client, lesson: Lesson, wrong: dict[str, str], sentence: str
) -> None:
    response = signed_in.post(at("lesson-move", lesson), form(**wrong))
    assert response.status_code == 422
    assert sentence in response.content.decode()
    lesson.refresh_from_db()
    assert (lesson.date, lesson.sequence) == (FRIDAY, 0)


def test_a_double_booking_is_refused_and_what_was_typed_stays(
    signed_in: Client, studio: Studio, lesson: Lesson
) -> None:
    LessonFactory.create(
        student__family__studio=studio,
        student__given_name="Aroha",
        date=dt.date(2026, 12, 4),
        starts=dt.time(10),
    )
    response = signed_in.post(at("lesson-move", lesson), form(starts="10:15", place="Room 2"))
    page = response.content.decode()
    assert response.status_code == 422
    assert "Aroha’s lesson is from 10:00 to 10:30" in page
    assert 'value="10:15"' in page
    assert 'value="Room 2"' in page


def test_siblings_move_along_when_ticked(
    signed_in: Client, studio: Studio, student: Student
) -> None:
    brother = StudentFactory.create(family=student.family, given_name="Kofi")
    slot = SlotFactory.create(studio=studio, students=[student, brother])
    hers, his = (LessonFactory.create(student=one, slot=slot) for one in (student, brother))
    assert "Kofi too" in signed_in.get(at("lesson-move", hers)).content.decode()
    signed_in.post(at("lesson-move", hers), form(with_siblings="on"))
    his.refresh_from_db()
    assert his.date == dt.date(2026, 12, 4)
    signed_in.post(at("lesson-move", hers), form(day="2026-12-05"))
    his.refresh_from_db()
    assert his.date == dt.date(2026, 12, 4)


@pytest.mark.parametrize(
    ("by", "status"), [("family", "cancelled-family"), ("teacher", "cancelled-teacher")]
)
def test_a_lesson_is_cancelled_by_whom_it_is_said(
    signed_in: Client, lesson: Lesson, by: str, status: str
) -> None:
    response = signed_in.post(at("lesson-cancel", lesson), {"by": by}, follow=True)
    lesson.refresh_from_db()
    assert lesson.status == status
    assert "A make-up is owed." in response.content.decode()


def test_a_late_cancellation_is_told_before_and_after(
    signed_in: Client, lesson: Lesson, frozen: FrozenClock
) -> None:
    assert "in good time (24 hours)" in signed_in.get(at("lesson", lesson)).content.decode()
    frozen.set(dt.datetime(2026, 11, 27, 9, tzinfo=dt.UTC))
    assert "less than 24 hours" in signed_in.get(at("lesson", lesson)).content.decode()
    done = signed_in.post(at("lesson-cancel", lesson), {"by": "family"}, follow=True)
    assert "No make-up is owed." in done.content.decode()


def test_a_cancellation_without_a_who_asks_for_it(signed_in: Client, lesson: Lesson) -> None:
    response = signed_in.post(at("lesson-cancel", lesson), {})
    assert response.status_code == 422
    assert "Say who cancels" in response.content.decode()
    lesson.refresh_from_db()
    assert lesson.status == "planned"


def test_a_lesson_is_kept_missed_and_taken_back(
    signed_in: Client, lesson: Lesson, frozen: FrozenClock
) -> None:
    frozen.move(days=2)
    seen = []
    for name in ("lesson-keep", "lesson-miss", "lesson-keep", "lesson-plan-again"):
        signed_in.post(at(name, lesson))
        lesson.refresh_from_db()
        seen.append(lesson.status)
    assert seen == ["kept", "missed", "kept", "planned"]


def test_a_refusal_is_said_on_the_lessons_page(signed_in: Client, lesson: Lesson) -> None:
    response = signed_in.post(at("lesson-keep", lesson), follow=True)
    assert "27 November is still to come; it cannot be kept." in response.content.decode()


@pytest.mark.parametrize(
    ("next_page", "goes_to"),
    [("/calendar/day/2026/11/27/", "/calendar/day/2026/11/27/"), ("//evil.example/", "/lessons/")],
)
def test_after_a_press_one_is_back_where_one_was_and_never_elsewhere(
    signed_in: Client, lesson: Lesson, next_page: str, goes_to: str
) -> None:
    response = signed_in.post(at("lesson-keep", lesson), {"next": next_page})
    assert response["Location"].startswith(goes_to)


def test_a_make_up_is_placed_let_go_and_granted(
    signed_in: Client, studio: Studio, lesson: Lesson
) -> None:
    (lost,) = changes.cancel(lesson, "teacher", NOON)
    bank = reverse("lessons:make-ups")
    assert "owed without end" in signed_in.get(bank).content.decode()
    signed_in.post(at("lesson-let-go", lost))
    assert not Lesson.objects.make_ups_owed(studio, DAY)
    signed_in.post(at("lesson-grant", lost))
    signed_in.post(at("lesson-make-up", lost), form())
    made = Lesson.objects.get(makes_up=lost)
    assert made.date == dt.date(2026, 12, 4)
    page = signed_in.get(bank).content.decode()
    assert "Nobody is owed a make-up" in page
    assert "Friday 4 December" in page


def test_a_make_up_that_does_not_fit_is_refused(signed_in: Client, lesson: Lesson) -> None:
    LessonRules.objects.create(studio=lesson.student.family.studio, expiry_weeks=1)
    (lost,) = changes.cancel(lesson, "family", NOON)
    response = signed_in.post(at("lesson-make-up", lost), form(day="2027-01-04"))
    assert response.status_code == 422
    assert "had to be taken by 4 December" in response.content.decode()


def test_two_families_swap(signed_in: Client, studio: Studio, lesson: Lesson) -> None:
    other = LessonFactory.create(
        student__family__studio=studio, student__given_name="Aroha", starts=dt.time(9), date=FRIDAY
    )
    assert "Aroha" in signed_in.get(at("lesson-swap", lesson)).content.decode()
    assert signed_in.post(at("lesson-swap", lesson), {}).status_code == 422
    assert signed_in.post(at("lesson-swap", lesson), {"other": "999"}).status_code == 422
    signed_in.post(at("lesson-swap", lesson), {"other": other.pk})
    lesson.refresh_from_db()
    other.refresh_from_db()
    assert (lesson.starts, other.starts) == (dt.time(9), dt.time(16, 15))


def test_a_lesson_of_another_studio_is_no_choice_for_a_swap(
    signed_in: Client, lesson: Lesson, other_student: Student
) -> None:
    foreign = LessonFactory.create(student=other_student, date=FRIDAY)
    assert signed_in.post(at("lesson-swap", lesson), {"other": foreign.pk}).status_code == 422


def offered(studio: Studio, lesson: Lesson) -> dict[dt.date, list[str]]:
    found = free_days(studio, DAY, NOON, minutes=30, place="", without=[lesson])
    return {one.day: [f"{time.starts:%H:%M}" for time in one.times] for one in found}


def test_free_times_lie_on_teaching_days_in_teaching_hours_and_not_in_the_past(
    studio: Studio, lesson: Lesson
) -> None:
    TermFactory.create(studio=studio)
    ClosureFactory.create(studio=studio, starts=dt.date(2026, 12, 2), ends=dt.date(2026, 12, 2))
    LessonRules.objects.create(studio=studio, day_opens=dt.time(11), day_closes=dt.time(14))
    SlotFactory.create(studio=studio, students=[lesson.student], weekday=2)
    LessonFactory.create(student__family__studio=studio, date=DAY, starts=dt.time(12, 45))
    found = offered(studio, lesson)
    # Noon now: the morning is over. 2 December is closed, and on other days she does not teach;
    # Friday has the lesson itself, which makes room where it stands.
    assert found == {
        DAY: ["12:15", "13:15"],
        FRIDAY: ["11:00", "12:00", "13:00"],
    }


def test_every_free_time_that_is_offered_is_taken(
    signed_in: Client, studio: Studio, lesson: Lesson
) -> None:
    for hour, place in [(9, ""), (11, "Harbour School"), (13, ""), (15, "Harbour School")]:
        LessonFactory.create(
            student__family__studio=studio, date=FRIDAY, starts=dt.time(hour, 10), place=place
        )
    for day, times in offered(studio, lesson).items():
        for time in times:
            moved = signed_in.post(at("lesson-move", lesson), form(offer=f"{day}T{time}"))
            assert moved.status_code == 302, time

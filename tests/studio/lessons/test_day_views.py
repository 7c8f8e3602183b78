import datetime as dt

import pytest
from django.test import Client
from django.urls import reverse

from studio.models import Closure, Lesson, LessonRules, Student, Studio
from tests.factories import DAY, LessonFactory

pytestmark = pytest.mark.usefixtures("frozen")
OFF = "/calendar/day/2026/11/25/off/"


@pytest.fixture
def lessons(studio: Studio) -> list[Lesson]:
    return [
        LessonFactory.create(student__family__studio=studio, date=DAY, starts=dt.time(hour))
        for hour in (14, 16)
    ]


def test_a_sick_day_takes_one_press(signed_in: Client, lessons: list[Lesson]) -> None:
    page = signed_in.get("/calendar/day/2026/11/25/").content.decode()
    assert "Cancel 2 lessons" in page
    response = signed_in.post(OFF, {"why": "ill", "owed": "on"}, follow=True)
    assert "2 lessons of 25 November are cancelled." in response.content.decode()
    assert set(Lesson.objects.values_list("status", "make_up_owed")) == {
        ("cancelled-teacher", True)
    }
    assert len(lessons) == 2


def test_the_rest_of_a_day_can_fall_out(signed_in: Client, lessons: list[Lesson]) -> None:
    signed_in.post(OFF, {"why": "ill", "from_time": "15:00"})
    assert [row.status for row in Lesson.objects.order_by("starts")] == [
        lessons[0].status,
        "cancelled-teacher",
    ]


@pytest.mark.parametrize(("owed", "is_owed"), [("on", True), ("", False)])
def test_a_snow_day_closes_the_studio(
    signed_in: Client, lessons: list[Lesson], owed: str, is_owed: bool
) -> None:
    signed_in.post(OFF, {"why": "closed", "name": "Blizzard", "owed": owed})
    assert Closure.objects.get().name == "Blizzard"
    assert set(Lesson.objects.values_list("make_up_owed", flat=True)) == {is_owed}
    assert Lesson.objects.count() == len(lessons)


@pytest.mark.usefixtures("lessons")
def test_a_wrong_time_is_named_and_nothing_is_cancelled(signed_in: Client) -> None:
    response = signed_in.post(OFF, {"why": "ill", "from_time": "late"})
    assert response.status_code == 422
    assert "“late” is not a time of day" in response.content.decode()
    assert not Lesson.objects.exclude(status="planned").exists()


def test_one_lesson_more_is_added(signed_in: Client, student: Student) -> None:
    values = {"student": student.pk, "day": "2026-11-26", "starts": "10:00", "minutes": "45"}
    signed_in.post(reverse("lessons:lesson-add"), values)
    added = Lesson.objects.get()
    assert (added.student, added.minutes, added.slot) == (student, 45, None)
    again = signed_in.post(reverse("lessons:lesson-add"), values)
    assert again.status_code == 422
    assert "Imani’s lesson is from 10:00 to 10:45" in again.content.decode()


def rules_form(**values: str) -> dict[str, str]:
    return {
        "notice_hours": "48",
        "expiry": "term",
        "expiry_weeks": "8",
        "travel_minutes": "15",
        "day_opens": "10:00",
        "day_closes": "19:00",
        **values,
    }


def test_the_teachers_rules_are_kept(signed_in: Client, studio: Studio) -> None:
    signed_in.post(reverse("lessons:rules"), rules_form(late_is_made_up="on"))
    rules = LessonRules.objects.get(studio=studio)
    assert (rules.notice_hours, rules.late_is_made_up, rules.expiry) == (48, True, "term")


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"notice_hours": "9999"}, "9999 is too much"),
        ({"day_closes": "09:00"}, "The teaching day ends before it starts."),
        ({"expiry_weeks": "0"}, "0 is too little"),
        ({"expiry": "whenever"}, "whenever"),
    ],
)
def test_impossible_rules_are_refused(
    signed_in: Client, studio: Studio, wrong: dict[str, str], sentence: str
) -> None:
    response = signed_in.post(reverse("lessons:rules"), rules_form(**wrong))
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert not LessonRules.objects.filter(studio=studio).exists()

import datetime as dt

import pytest
from django.test import Client

from studio.models import Lesson, Student, Studio
from tests.factories import LessonFactory

pytestmark = pytest.mark.usefixtures("frozen")
ZONE = "/calendar/zone/"


@pytest.fixture
def lesson(student: Student) -> Lesson:
    return LessonFactory.create(student=student, date=dt.date(2026, 11, 27))


def test_the_page_shows_what_either_answer_would_mean(signed_in: Client, lesson: Lesson) -> None:
    page = signed_in.get(ZONE + "?to=Asia/Kathmandu").content.decode()
    assert lesson.starts == dt.time(16, 15)
    assert "either stays at 16:15 on the clocks of Asia/Kathmandu, or is at 22:00 there" in page


@pytest.mark.parametrize(("keep", "starts"), [("wall", dt.time(16, 15)), ("instant", dt.time(22))])
def test_the_teacher_says_what_moves(
    signed_in: Client, studio: Studio, lesson: Lesson, keep: str, starts: dt.time
) -> None:
    signed_in.post(ZONE, {"zone": "Asia/Kathmandu", "keep": keep})
    studio.refresh_from_db()
    lesson.refresh_from_db()
    assert (studio.zone, lesson.starts) == ("Asia/Kathmandu", starts)


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"zone": "Lisbon", "keep": "wall"}, "“Lisbon” is no known time zone"),
        ({"zone": "Europe/Lisbon", "keep": "wall"}, "is in Europe/Lisbon already"),
        ({"zone": "Asia/Kathmandu"}, "Say what happens to lessons still to come."),
    ],
)
def test_a_wrong_answer_moves_nothing(
    signed_in: Client, studio: Studio, wrong: dict[str, str], sentence: str
) -> None:
    response = signed_in.post(ZONE, wrong)
    assert response.status_code == 422
    assert sentence in response.content.decode()
    studio.refresh_from_db()
    assert studio.zone == "Europe/Lisbon"


def test_a_lesson_that_would_not_exist_there_is_told(
    signed_in: Client, studio: Studio, student: Student
) -> None:
    LessonFactory.create(student=student, date=dt.date(2027, 3, 14), starts=dt.time(2, 30))
    response = signed_in.post(ZONE, {"zone": "America/St_Johns", "keep": "wall"})
    assert response.status_code == 422
    assert "so 02:30 does not exist" in response.content.decode()
    studio.refresh_from_db()
    assert studio.zone == "Europe/Lisbon"

import datetime as dt

import pytest
from django.test import Client
from django.urls import reverse

from studio.lessons import schedule
from studio.models import Lesson, Slot, Student, Studio, Term
from tests.factories import DAY, LessonFactory, SlotFactory, StudentFactory, TermFactory

pytestmark = pytest.mark.usefixtures("frozen")


@pytest.fixture
def term(studio: Studio) -> Term:
    return TermFactory.create(studio=studio)


@pytest.fixture
def slot(studio: Studio, student: Student, term: Term) -> Slot:
    slot = SlotFactory.create(studio=studio, students=[student])
    schedule.fill(studio, [term], DAY)
    return slot


def form(*students: Student, **values: str) -> dict[str, object]:
    return {
        "students": [student.pk for student in students],
        "weekday": "3",
        "starts": "17:00",
        "minutes": "45",
        "every_weeks": "1",
        "from_day": "2026-11-26",
        "place": "",
        "link": "",
        **values,
    }


@pytest.mark.usefixtures("term")
def test_a_weekly_lesson_is_made_and_planned(signed_in: Client, student: Student) -> None:
    response = signed_in.post(reverse("lessons:slot-add"), form(student), follow=True)
    assert "3 lessons planned." in response.content.decode()
    assert set(Lesson.objects.values_list("starts", "minutes")) == {(dt.time(17), 45)}


@pytest.mark.usefixtures("term")
def test_two_ticks_are_one_shared_lesson(signed_in: Client, student: Student) -> None:
    brother = StudentFactory.create(family=student.family, given_name="Kofi")
    signed_in.post(reverse("lessons:slot-add"), form(student, brother))
    assert (Slot.objects.count(), Lesson.objects.count()) == (1, 6)


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"starts": ""}, "Time is missing."),
        ({"minutes": "5"}, "5 is too little; at least 10."),
        ({"from_day": "2026-12-12"}, "lies in a term. Make the term first"),
        ({"every_weeks": "9"}, "9"),
        ({"weekday": "7"}, "7"),
    ],
)
@pytest.mark.usefixtures("term")
def test_a_wrong_weekly_lesson_is_refused(
    signed_in: Client, student: Student, wrong: dict[str, str], sentence: str
) -> None:
    response = signed_in.post(reverse("lessons:slot-add"), form(student, **wrong))
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert not Slot.objects.exists()


@pytest.mark.usefixtures("term")
def test_a_weekly_lesson_without_a_student_is_refused(signed_in: Client) -> None:
    response = signed_in.post(reverse("lessons:slot-add"), form())
    assert response.status_code == 422
    assert "Tick the student whose lesson this is." in response.content.decode()


def test_a_weekly_lesson_on_a_taken_time_is_refused(signed_in: Client, slot: Slot) -> None:
    other = StudentFactory.create(family__studio=slot.studio, given_name="Aroha")
    wanted = form(other, weekday="2", starts="16:30")
    response = signed_in.post(reverse("lessons:slot-add"), wanted)
    assert response.status_code == 422
    assert "Imani’s lesson is from 16:15 to 16:45" in response.content.decode()
    assert Slot.objects.count() == 1


def test_single_clashes_are_told_and_the_rest_is_planned(
    signed_in: Client, slot: Slot, student: Student
) -> None:
    LessonFactory.create(student=student, date=dt.date(2026, 12, 3), starts=dt.time(17))
    other = StudentFactory.create(family__studio=slot.studio, given_name="Aroha")
    page = signed_in.post(reverse("lessons:slot-add"), form(other), follow=True).content.decode()
    assert "2 lessons planned." in page
    assert "Not planned: Aroha cannot have Thursday 3 December at 17:00" in page


def test_a_change_holds_from_its_day_on(signed_in: Client, slot: Slot) -> None:
    address = reverse("lessons:slot-change", args=[slot.pk])
    assert 'value="16:15"' in signed_in.get(address).content.decode()
    signed_in.post(address, form(from_day="2026-12-01"))
    dates = list(Lesson.objects.order_by("date").values_list("date", flat=True))
    assert dates == [DAY, dt.date(2026, 12, 3), dt.date(2026, 12, 10)]


def test_a_change_in_the_past_is_refused(signed_in: Client, slot: Slot) -> None:
    address = reverse("lessons:slot-change", args=[slot.pk])
    response = signed_in.post(address, form(from_day="2026-11-01"))
    assert response.status_code == 422
    assert "1 November 2026 has passed." in response.content.decode()


def test_a_weekly_lesson_ends(signed_in: Client, slot: Slot) -> None:
    address = reverse("lessons:slot-end", args=[slot.pk])
    refused = signed_in.post(address, {"last_day": "2026-01-01"})
    assert refused.status_code == 422
    assert "It begins on 14 September" in refused.content.decode()
    signed_in.post(address, {"last_day": "2026-12-02"})
    assert Lesson.objects.count() == 2


def test_the_list_shows_who_has_no_weekly_time(signed_in: Client, slot: Slot) -> None:
    StudentFactory.create(family__studio=slot.studio, given_name="Aroha", family_name="Te Rangi")
    page = signed_in.get(reverse("lessons:slots")).content.decode()
    assert (
        page.index("Imani Okonkwo-Reyes") < page.index("No weekly time yet") < page.index("Aroha")
    )


def test_lessons_of_those_who_pause_or_leave_are_told_and_taken_out(
    signed_in: Client, slot: Slot, student: Student
) -> None:
    student.status, student.left = Student.Status.LEFT, dt.date(2026, 12, 2)
    student.save()
    paused = StudentFactory.create(family=student.family, status=Student.Status.PAUSED)
    LessonFactory.create(student=paused, starts=dt.time(9))
    LessonFactory.create(student=paused, starts=dt.time(10), status="kept")
    page = signed_in.get(reverse("lessons:calendar")).content.decode()
    assert "2 lessons still planned for students who have paused or left." in page
    signed_in.post(reverse("lessons:absent-out"))
    left = list(Lesson.objects.order_by("date", "starts").values_list("date", "starts"))
    assert left == [
        (DAY, dt.time(10)),
        (DAY, dt.time(16, 15)),
        (dt.date(2026, 12, 2), dt.time(16, 15)),
    ]
    assert "paused or left" not in signed_in.get(reverse("lessons:calendar")).content.decode()


def test_a_weekly_lesson_before_any_term_leads_to_the_first_term(
    signed_in: Client, studio: Studio, student: Student
) -> None:
    page = signed_in.get(reverse("lessons:slot-add"), {"student": student.pk}).content.decode()
    assert reverse("lessons:term-add") in page
    assert 'name="weekday"' not in page
    TermFactory.create(studio=studio)
    assert 'name="weekday"' in signed_in.get(reverse("lessons:slot-add")).content.decode()


@pytest.mark.parametrize("name", ["lessons:slot-add", "lessons:lesson-add"])
def test_a_lesson_for_nobody_leads_to_the_first_family(signed_in: Client, name: str) -> None:
    Student.objects.all().delete()
    page = signed_in.get(reverse(name)).content.decode()
    assert "No student yet" in page
    assert reverse("people:family_add") in page
    assert "offer" not in page
    assert "<form method" not in page

import datetime as dt

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from studio.models import Closure, Lesson, Slot, Student, Studio, Term
from tests.factories import ClosureFactory, LessonFactory, SlotFactory, TermFactory

pytestmark = pytest.mark.usefixtures("frozen")
ADD = "/calendar/terms/add/"
FORM = {"name": "Winter term", "starts": "2027-01-11", "ends": "2027-03-26"}


@pytest.fixture
def slot(studio: Studio, student: Student) -> Slot:
    return SlotFactory.create(studio=studio, students=[student])


def test_a_new_term_is_filled_at_once(signed_in: Client, slot: Slot) -> None:
    response = signed_in.post(ADD, FORM, follow=True)
    assert "11 lessons planned." in response.content.decode()
    assert slot.lessons.count() == 11


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"ends": "2027-01-10"}, "10 January 2027 lies before the first day, 11 January 2027."),
        ({"ends": "2027-01-11"}, "A term of one day, 11 January 2027, is too short."),
        ({"ends": "2029-01-11"}, "731 days are more than 400."),
        ({"starts": "2026-12-01"}, "Autumn term 2026 is from 14 September 2026 to 11 December"),
        ({"starts": "2026-12-11"}, "two terms cannot share a day"),
        ({"starts": ""}, "First day is missing."),
        ({"starts": "11.1.2027"}, "“11.1.2027” is not a day."),
        ({"name": "a\nb"}, "Write it on one line."),
    ],
)
def test_a_wrong_term_is_refused(
    signed_in: Client, studio: Studio, wrong: dict[str, str], sentence: str
) -> None:
    TermFactory.create(studio=studio)
    response = signed_in.post(ADD, {**FORM, **wrong})
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert Term.objects.count() == 1


def test_terms_that_touch_are_two_terms(signed_in: Client, studio: Studio) -> None:
    TermFactory.create(studio=studio)
    signed_in.post(ADD, {**FORM, "starts": "2026-12-12"})
    assert Term.objects.count() == 2


def test_the_same_days_may_be_a_term_of_another_studio(
    signed_in: Client, studio: Studio, other_studio: Studio
) -> None:
    TermFactory.create(studio=other_studio, starts=dt.date(2027, 1, 11), ends=dt.date(2027, 3, 26))
    signed_in.post(ADD, FORM)
    assert studio.terms.count() == 1


def test_a_shortened_term_drops_what_it_no_longer_holds(signed_in: Client, slot: Slot) -> None:
    signed_in.post(ADD, FORM)
    term = Term.objects.get()
    moved = slot.lessons.get(date=dt.date(2027, 3, 24))
    moved.moved_by_hand = True
    moved.save()
    address = reverse("lessons:term-edit", args=[term.pk])
    signed_in.post(address, {**FORM, "ends": "2027-02-12"})
    assert slot.lessons.count() == 5 + 1


def test_closed_days_take_lessons_out_and_opening_again_plans_them_anew(
    signed_in: Client, slot: Slot
) -> None:
    signed_in.post(ADD, FORM)
    days = {"name": "Half-term", "starts": "2027-02-15", "ends": "2027-02-19"}
    response = signed_in.post("/calendar/closures/add/", days, follow=True)
    assert "1 planned lesson was taken out." in response.content.decode()
    assert slot.lessons.count() == 10
    signed_in.post(reverse("lessons:closure-remove", args=[Closure.objects.get().pk]))
    assert slot.lessons.count() == 11


def test_closed_days_that_end_before_they_start_are_refused(
    signed_in: Client, studio: Studio
) -> None:
    days = {"name": "Half-term", "starts": "2027-02-15", "ends": "2027-02-12"}
    response = signed_in.post("/calendar/closures/add/", days)
    assert response.status_code == 422
    assert "12 February 2027 lies before the first day" in response.content.decode()
    assert not studio.closures.exists()


def test_holidays_are_offered_for_coming_terms_and_taken_by_tick(
    signed_in: Client, studio: Studio, slot: Slot
) -> None:
    TermFactory.create(studio=studio, ends=dt.date(2026, 12, 18))
    ClosureFactory.create(
        studio=studio, starts=dt.date(2026, 12, 1), ends=dt.date(2026, 12, 1), name="Holiday"
    )
    page = signed_in.get("/calendar/closures/holidays/?country=PT").content.decode()
    assert "Tue 8 December 2026" in page
    assert "closed already" in page
    assert "Immaculate Conception" in page
    assert "5 October" not in page.split("<main")[1]
    signed_in.post(
        "/calendar/closures/holidays/",
        {"country": "PT", "day": ["2026-12-08", "2026-12-01", "2026-12-25", "nonsense"]},
    )
    days = list(Closure.objects.values_list("starts", flat=True))
    assert days == [dt.date(2026, 12, 1), dt.date(2026, 12, 8)]
    assert slot.studio == studio


def test_missing_lessons_are_planned_on_demand(
    signed_in: Client, studio: Studio, slot: Slot
) -> None:
    term = TermFactory.create(studio=studio)
    response = signed_in.post(reverse("lessons:term-fill", args=[term.pk]), follow=True)
    assert "3 lessons planned." in response.content.decode()
    assert slot.lessons.count() == 3


def test_a_term_in_which_something_happened_stays(
    signed_in: Client, studio: Studio, student: Student, slot: Slot
) -> None:
    term = TermFactory.create(studio=studio)
    signed_in.post(reverse("lessons:term-fill", args=[term.pk]))
    kept = LessonFactory.create(student=student, date=dt.date(2026, 11, 18), status="kept")
    remove = reverse("lessons:term-remove", args=[term.pk])
    page = signed_in.post(remove, follow=True).content.decode()
    assert "1 lesson of Autumn term 2026 took place or fell out, so the term stays." in page
    kept.delete()
    signed_in.post(remove)
    assert not Term.objects.exists()
    assert not Lesson.objects.exists()
    assert slot.studio == studio


def test_the_list_of_terms_costs_the_same_for_many(signed_in: Client, studio: Studio) -> None:
    counts = []
    for year in (2027, 2028, 2029):
        TermFactory.create(studio=studio, starts=dt.date(year, 1, 8), ends=dt.date(year, 3, 30))
        with CaptureQueriesContext(connection) as asked:
            assert signed_in.get("/calendar/terms/").status_code == 200
        counts.append(len(asked))
    assert counts[0] == counts[2] <= 7


def test_terms_long_over_wait_behind_a_link(signed_in: Client, studio: Studio) -> None:
    TermFactory.create(studio=studio, name="Now")
    ends = dt.date(2026, 8, 20)
    TermFactory.create(studio=studio, name="Long ago", starts=ends - dt.timedelta(80), ends=ends)
    page = signed_in.get("/calendar/terms/").content.decode()
    assert "Now" in page
    assert "Long ago" not in page
    assert '<a href="?earlier">Earlier terms</a>' in page
    page = signed_in.get("/calendar/terms/?earlier").content.decode()
    assert "Long ago" in page
    assert "?earlier" not in page

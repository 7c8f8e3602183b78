"""Lessons, their calendars and the printed term in German."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import translation
from icalendar import Calendar

from studio.dates.zones import NoSuchTimeError, to_utc
from studio.lessons import addresses, changes
from studio.lessons.ledger import Fate
from studio.lessons.models import Lesson, LessonRules, Slot
from studio.lessons.statements import accounts
from studio.links import tokens
from studio.web.speaking import speaking
from studio.web.week_bars import week_bars
from tests.conftest import NOON
from tests.factories import LessonFactory, SlotFactory, StudentFactory, TermFactory
from tests.language.leftover import left_in_english

if TYPE_CHECKING:
    from studio.models import Student, Studio, Term

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]

TODAY = NOON.date()
FRIDAY = dt.date(2026, 11, 27)
SHORT_DAYS = {"Do", "Mi"}  # Thursday and Wednesday, and names of notes in English


@pytest.fixture
def term(german_studio: Studio, student: Student) -> Term:
    """With a weekly time, a lesson kept, one to come, one lost with its make-up, one owed."""
    slot = SlotFactory.create(studio=german_studio, every_weeks=2)
    slot.students.set([student, StudentFactory.create(family=student.family, given_name="Chidi")])
    LessonFactory.create(student=student, date=FRIDAY, slot=slot)
    week = dt.timedelta(weeks=1)
    LessonFactory.create(student=student, date=FRIDAY - week, status=Lesson.Status.KEPT)
    lost = LessonFactory.create(student=student, date=FRIDAY + week)
    changes.cancel(lost, "family", NOON)
    changes.make_up(lost, changes.When(FRIDAY + 2 * week, dt.time(15)), TODAY)
    changes.cancel(LessonFactory.create(student=student, date=FRIDAY + 3 * week), "teacher", NOON)
    first, last = dt.date(2026, 9, 1), dt.date(2026, 12, 31)
    made: Term = TermFactory.create(studio=german_studio, name="Herbst", starts=first, ends=last)
    return made


@pytest.mark.parametrize(
    "address",
    [
        "/calendar/",
        "/calendar/month/",
        "/calendar/day/2026/11/27/",
        "/calendar/make-ups/",
        "/calendar/rules/",
        "/calendar/zone/?to=Asia/Tokyo",
        "/calendar/weekly/",
        "/calendar/weekly/add/",
        "/calendar/weekly/{slot}/",
        "/calendar/addresses/",
        "/calendar/families/{family}/",
        "/calendar/busy/",
        "/lessons/add/",
        "/lessons/{planned}/",
        "/lessons/{planned}/move/",
        "/lessons/{planned}/swap/",
        "/lessons/{lost}/",
        "/lessons/{owed}/make-up/",
    ],
)
@pytest.mark.usefixtures("term")
def test_no_page_holds_an_english_sentence(
    signed_in: Client, student: Student, address: str
) -> None:
    numbers = {
        "slot": Slot.objects.get().pk,
        "family": student.family_id,
        "planned": Lesson.objects.get(date=FRIDAY).pk,
        "lost": Lesson.objects.get(date=FRIDAY + dt.timedelta(weeks=1)).pk,
        "owed": Lesson.objects.get(date=FRIDAY + dt.timedelta(weeks=3)).pk,
    }
    page = signed_in.get(address.format(**numbers)).content.decode()
    assert '<html lang="de"' in page
    assert left_in_english(page) - SHORT_DAYS == set()


@pytest.mark.usefixtures("term")
def test_a_double_booking_is_told_in_one_german_sentence(
    signed_in: Client, german_studio: Studio
) -> None:
    other = StudentFactory.create(family__studio=german_studio, given_name="Aroha")
    lesson = LessonFactory.create(student=other, date=dt.date(2026, 12, 15))
    sent = {"day": FRIDAY, "starts": Lesson.objects.get(date=FRIDAY).starts, "minutes": 30}
    page = signed_in.post(reverse("lessons:lesson-move", args=[lesson.pk]), sent)
    assert page.status_code == 422
    said = page.content.decode()
    assert "Für Aroha geht Freitag, 27. November um" in said
    assert "nicht: die Stunde von Imani ist von" in said


def test_a_calendar_is_named_and_filled_in_the_language_of_its_studio(
    client: Client, german_studio: Studio, student: Student
) -> None:
    """Whatever the reader asks for: a calendar program has no say in it."""
    plain = LessonFactory.create(student=student, date=FRIDAY)
    changes.cancel(plain, "teacher", NOON)
    changes.make_up(plain, changes.When(FRIDAY, dt.time(10)), TODAY)
    link = addresses.renew_family(student.family, NOON)
    address = reverse("lessons:feed", args=[tokens.shown_again(link)])
    read = client.get(address, headers={"Accept-Language": "en"}).content
    calendar = Calendar.from_ical(read)
    assert f"\r\nNAME:Geigenstunden\\, {german_studio.teacher}\r\n".encode() in read
    assert f"\r\nX-WR-CALNAME:Geigenstunden\\, {german_studio.teacher}\r\n".encode() in read
    assert {str(event["SUMMARY"]) for event in calendar.walk("VEVENT")} == {
        "Fällt aus: Geigenstunde, Imani",
        "Nachholstunde Geige, Imani",
    }
    page = client.get(f"/calendars/{tokens.shown_again(link)}/", headers={"Accept-Language": "en"})
    assert "Freitag, 27. November" in page.content.decode()
    assert left_in_english(page.content.decode()) == set()


def test_another_language_is_another_calendar(
    client: Client, studio: Studio, student: Student
) -> None:
    lesson = LessonFactory.create(student=student, date=FRIDAY)
    link = addresses.renew_family(student.family, NOON)
    address = reverse("lessons:feed", args=[tokens.shown_again(link)])
    mark = client.get(address)["ETag"]
    studio.locale = "de"
    studio.save()
    again = client.get(address, headers={"If-None-Match": mark})
    assert again.status_code == 200
    (event,) = Calendar.from_ical(again.content).walk("VEVENT")
    assert (event["SUMMARY"], event["UID"]) == ("Geigenstunde, Imani", str(lesson.uid))
    assert event["SEQUENCE"] == lesson.sequence


def test_a_family_reads_what_became_of_each_lesson(
    german_studio: Studio, student: Student, term: Term
) -> None:
    with speaking(german_studio):
        (account,) = accounts(term, [student], TODAY)
        assert account.sentence == "4 Stunden: 1 gehalten, 2 nachzuholen, 1 noch geplant."
        assert [row.words for row in account.rows] == [
            "gehalten",
            "noch geplant",
            "von der Familie rechtzeitig abgesagt; Nachholstunde am 11. Dezember",
            "vom Studio abgesagt; Nachholtermin noch zu finden",
        ]


def test_printed_pages_are_named_and_filled_in_german(
    signed_in: Client, term: Term, student: Student, monkeypatch: pytest.MonkeyPatch
) -> None:
    html: list[str] = []

    def keep(template: str, studio: Studio, title: str, context: dict[str, object]) -> str:
        html.append(written(template, studio, title, context))
        return html[-1]

    from studio.lessons import term_print

    written = term_print._html
    monkeypatch.setattr(term_print, "_html", keep)
    for name, numbers in (
        ("wall-pdf", [term.pk]),
        ("families-pdf", [term.pk]),
        ("statement-pdf", [term.pk, student.family_id]),
    ):
        answer = signed_in.get(reverse(f"lessons:{name}", args=numbers))
        assert answer["Content-Type"] == "application/pdf"
        assert '<html lang="de">' in html[-1]
        assert left_in_english(html[-1]) == set()
    LessonRules.objects.create(studio=term.studio, notice_hours=1)
    signed_in.get(reverse("lessons:families-pdf", args=[term.pk]))
    assert "Absage mindestens 1 Stunde vorher" in html[-1]


def test_rules_that_know_no_studio_speak_german_too() -> None:
    with translation.override("de"):
        with pytest.raises(NoSuchTimeError, match="Am Sonntag, dem 28. März 2027,"):
            to_utc(dt.date(2027, 3, 28), dt.time(2, 30), ZoneInfo("Europe/Vienna"))
        assert week_bars([20, None], [5, 0], ["Do", "Fr"]).words == (
            "Geübte von geplanten Minuten: Do 5 von 20, Fr frei."
        )
        assert [fate.words for fate in (Fate.GIVEN, Fate.OWED)] == [
            "gehalten",
            "Nachholstunde steht aus",
        ]

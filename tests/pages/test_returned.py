"""A sheet that came back is ticked by keyboard, and without script as a plain form."""

from __future__ import annotations

import datetime as dt
import time
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Page

from practice.desk.returned import fresh_key
from practice.models import Assignment, Item, LogEntry, Word
from studio.models import Student
from tests import factories
from tests.factories import DAY, NOW
from tests.pages.axe import assert_accessible

pytestmark = pytest.mark.usefixtures("frozen")
PARTS = ("stretch", "warm_up", "scale", "etude", "run_through", "favourite", "explore")
STARTS = DAY - dt.timedelta(days=6)
# Two hundred characters a minute are a practised hand's 3.3 keys a second (common practice, no
# source); single keys that are pressed again and again go faster.
KEYS_A_SECOND = 5


@pytest.fixture
def week(student: Student) -> Assignment:
    """Seven days of six rows and explore, all of them over or today."""
    plan = factories.PlanFactory.create(assignment__student=student, assignment__starts=STARTS)
    for number in range(7):
        for place, part in enumerate(PARTS):
            factories.ItemFactory.create(
                plan=plan,
                date=STARTS + dt.timedelta(days=number),
                position=place,
                key=part,
                part=part,
                title=part,
            )
    return plan.assignment


def url(student: Student) -> str:
    return reverse("desk:returned", args=[student.pk])


def key() -> str:
    return fresh_key()


def done() -> set[tuple[int, str]]:
    rows = LogEntry.objects.filter(done=True).select_related("item")
    return {((row.item.date - STARTS).days, row.item.key) for row in rows}


@pytest.mark.django_db(transaction=True)
def test_a_full_week_with_five_exceptions_takes_under_twenty_seconds(
    teacher_page: Page, student: Student, week: Assignment
) -> None:
    pressed = 0

    def press(*keys: str) -> None:
        nonlocal pressed
        for each in keys:
            teacher_page.wait_for_timeout(1000 / KEYS_A_SECOND)
            teacher_page.keyboard.press(each)
            pressed += 1

    teacher_page.goto(url(student))
    assert_accessible(teacher_page)
    begun = time.monotonic()
    press("a")  # everything
    press(*["ArrowDown"] * 3, "Space")  # no etude on the first day
    press("ArrowRight", "ArrowRight", "Space")  # nor on the third
    press("ArrowDown", "Space")  # nor a run-through then
    press("ArrowRight", "d")  # and nothing on the fourth
    press("ArrowRight", *["ArrowUp"] * 4, "Space")  # no stretch on the fifth
    press("Enter")
    teacher_page.get_by_text("Imani’s sheet is noted.").wait_for()
    took = time.monotonic() - begun
    rings = {(day, part) for day in range(7) for part in PARTS if part != "explore"}
    out = {(0, "etude"), (2, "etude"), (2, "run_through"), (4, "stretch")}
    assert done() == rings - out - {(3, part) for part in PARTS}
    assert {entry.source for entry in LogEntry.objects.all()} == {"paper"}
    assert pressed == 19
    assert took < 20


@pytest.mark.django_db(transaction=True)
def test_a_week_played_in_full_is_two_keys(
    teacher_page: Page, student: Student, week: Assignment
) -> None:
    teacher_page.goto(url(student))
    for key in ("a", "Enter"):
        teacher_page.keyboard.press(key)
    teacher_page.get_by_text("Imani’s sheet is noted.").wait_for()
    assert len(done()) == 7 * (len(PARTS) - 1)


def test_a_week_that_has_not_begun_cannot_have_come_back(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    """Neither on its page, nor offered in the list of weeks, nor taken in."""
    starts = DAY + dt.timedelta(days=1)
    later = factories.PlanFactory.create(assignment__student=student, assignment__starts=starts)
    item = factories.ItemFactory.create(plan=later, date=starts, minutes=5)
    address = f"{url(student)}?week={starts}"
    page = signed_in.get(address)
    assert "It begins on Thursday 26 November" in page.content.decode()
    assert b'name="cell"' not in page.content
    answer = signed_in.post(address, {"key": key(), "cell": [str(item.pk)]})
    assert answer.status_code == 422
    assert not LogEntry.objects.exists()
    weeks = signed_in.get(reverse("weeks", args=[student.pk])).content.decode()
    assert f"?week={STARTS}" in weeks
    assert f"?week={starts}" not in weeks


def test_a_sheet_of_a_student_who_left_is_told_and_changes_nothing(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    item = Item.objects.get(date=DAY, key="scale")
    student.leave(DAY)
    answer = signed_in.post(url(student), {"key": key(), "cell": [str(item.pk)], "word": "Bye."})
    text = answer.content.decode()
    assert answer.status_code == 422
    assert "Imani has left, so nothing was taken in." in text
    assert "Bye." in text
    assert f'value="{item.pk}" checked' in text
    assert not LogEntry.objects.exists()
    assert not Word.objects.exists()


def test_a_forged_sheet_changes_nothing(
    signed_in: Client, student: Student, week: Assignment, other_student: Student
) -> None:
    """Boxes of others, boxes that are none, a key that is none; and without the page's token."""
    theirs = factories.ItemFactory.create(plan__assignment__student=other_student, date=DAY)
    signed_in.post(url(student), {"key": key(), "cell": [str(theirs.pk), "x", "9" * 40]})
    assert not LogEntry.objects.exists()
    own = str(Item.objects.get(date=DAY, key="scale").pk)
    answer = signed_in.post(url(student), {"key": "forged", "cell": [own]})
    assert (answer.status_code, "too old to save" in answer.content.decode()) == (422, True)
    strict = Client(enforce_csrf_checks=True)
    strict.cookies = signed_in.cookies
    assert strict.post(url(student), {"key": key(), "cell": [own]}).status_code == 403
    assert not LogEntry.objects.exists()


def test_the_plain_form_keeps_what_was_ticked_and_the_word(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    item = Item.objects.get(date=DAY, key="scale")
    data = {"key": key(), "cell": [str(item.pk)], "word": "He liked it."}
    assert signed_in.post(url(student), data).status_code == 302
    assert done() == {(6, "scale")}
    assert Word.objects.get().source == "paper"


def test_a_word_on_a_sheet_whose_week_still_runs_is_of_today(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    week.starts = DAY - dt.timedelta(days=2)
    week.save()
    assert signed_in.post(url(student), {"key": key(), "word": "So far."}).status_code == 302
    assert Word.objects.get().date == DAY


def test_what_home_told_stays_and_can_be_taken_back(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    item = Item.objects.get(date=STARTS, key="scale")
    yesterday = NOW - dt.timedelta(days=1)
    factories.LogEntryFactory.create(item=item, minutes=11, tempo=72, done_told=yesterday)
    assert f'value="{item.pk}" checked' in signed_in.get(url(student)).content.decode()
    signed_in.post(url(student), {"key": key(), "cell": [str(item.pk)]})
    entry = LogEntry.objects.get()
    assert (entry.minutes, entry.tempo, entry.source) == (11, 72, "home")
    signed_in.post(url(student), {"key": key()})
    entry.refresh_from_db()
    assert (entry.done, entry.source) == (False, "paper")


def test_saving_twice_with_one_key_counts_once(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    data = {"key": key(), "word": "Once."}
    signed_in.post(url(student), data)
    signed_in.post(url(student), data)
    assert Word.objects.count() == 1


def test_a_page_left_open_for_months_is_not_saved(
    signed_in: Client, student: Student, week: Assignment, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By then its receipt may be forgotten, and what was told later must stand."""
    data = {"key": key(), "word": "Once."}
    later = time.time() + 57 * 24 * 60 * 60
    monkeypatch.setattr("django.core.signing.time.time", lambda: later)
    answer = signed_in.post(url(student), data)
    assert answer.status_code == 422
    assert "This page is too old to save." in answer.content.decode()
    assert not Word.objects.exists()


def test_a_word_too_long_comes_back_with_all_that_was_ticked(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    item = Item.objects.get(date=DAY, key="scale")
    data = {"key": key(), "cell": [str(item.pk)], "word": "a" * 501}
    page = signed_in.post(url(student), data)
    assert page.status_code == 422
    text = page.content.decode()
    assert "has 501 letters" in text
    assert f'value="{item.pk}" checked' in text
    assert not LogEntry.objects.exists()


def test_an_earlier_week_is_asked_for_by_its_first_day(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    address = url(student)
    assert signed_in.get(address, {"week": STARTS.isoformat()}).status_code == 200
    assert b"No week is decided yet" in signed_in.get(address, {"week": "2026-01-01"}).content
    assert signed_in.get(address, {"week": "soon"}).status_code == 404


def test_another_studios_sheet_is_not_there(signed_in: Client, other_student: Student) -> None:
    factories.PlanFactory.create(assignment__student=other_student, assignment__starts=STARTS)
    assert signed_in.get(url(other_student)).status_code == 404
    assert signed_in.post(url(other_student), {"key": key()}).status_code == 404


def test_queries_do_not_grow_with_the_week(
    signed_in: Client, student: Student, week: Assignment, django_assert_max_num_queries: Any
) -> None:
    signed_in.get(url(student))
    with django_assert_max_num_queries(8):
        signed_in.get(url(student))

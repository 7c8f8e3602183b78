"""A sheet that came back is ticked by keyboard, and without script as a plain form."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Page

from practice.models import Assignment, Item, LogEntry, Word
from studio.models import Student
from tests import factories
from tests.factories import DAY, NOW
from tests.pages.axe import assert_accessible

pytestmark = pytest.mark.usefixtures("frozen")
PARTS = ("stretch", "warm_up", "scale", "etude", "run_through", "favourite", "explore")
STARTS = DAY - dt.timedelta(days=6)
# A practised typist strikes a key in a quarter of a second; half of that speed is asked for here.
SECONDS_A_KEY = 0.5


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
    return uuid.uuid4().hex


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
            teacher_page.keyboard.press(each)
            pressed += 1

    teacher_page.goto(url(student))
    assert_accessible(teacher_page)
    press("a")  # everything
    press(*["ArrowDown"] * 3, "Space")  # no etude on the first day
    press("ArrowRight", "ArrowRight", "Space")  # nor on the third
    press("ArrowDown", "Space")  # nor a run-through then
    press("ArrowRight", "d")  # and nothing on the fourth
    press("ArrowRight", *["ArrowUp"] * 4, "Space")  # no stretch on the fifth
    press("Enter")
    teacher_page.get_by_text("Imani’s sheet is noted.").wait_for()
    rings = {(day, part) for day in range(7) for part in PARTS if part != "explore"}
    out = {(0, "etude"), (2, "etude"), (2, "run_through"), (4, "stretch")}
    assert done() == rings - out - {(3, part) for part in PARTS}
    assert {entry.source for entry in LogEntry.objects.all()} == {"paper"}
    assert pressed * SECONDS_A_KEY < 20


def test_the_plain_form_keeps_what_was_ticked_and_the_word(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    item = Item.objects.get(date=DAY, key="scale")
    data = {"key": key(), "cell": [str(item.pk)], "word": "He liked it."}
    assert signed_in.post(url(student), data).status_code == 302
    assert done() == {(6, "scale")}
    assert Word.objects.get().source == "paper"


def test_what_home_told_stays_and_can_be_taken_back(
    signed_in: Client, student: Student, week: Assignment
) -> None:
    item = Item.objects.get(date=STARTS, key="scale")
    yesterday = NOW - dt.timedelta(days=1)
    factories.LogEntryFactory.create(item=item, minutes=11, tempo=72, ticked=yesterday)
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

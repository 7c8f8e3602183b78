"""The Desk in the browser and by its queries."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Page

from practice.desk.loose_ends import loose_ends
from practice.models import LogEntry
from studio.models import Student, Studio
from tests import factories
from tests.conftest import FrozenClock
from tests.factories import DAY
from tests.pages.axe import assert_accessible


def a_day_with(studio: Studio, count: int) -> None:
    for number in range(count):
        student = factories.StudentFactory.create(family__studio=studio)
        factories.ScaleInHandFactory.create(student=student)
        factories.LessonFactory.create(student=student, starts=dt.time(13 + number))
        plan = factories.PlanFactory.create(
            assignment__student=student, assignment__starts=DAY - dt.timedelta(days=6)
        )
        for day in range(6):
            date = DAY - dt.timedelta(days=6 - day)
            item = factories.ItemFactory.create(plan=plan, date=date, minutes=20)
            factories.LogEntryFactory.create(item=item, minutes=15 + day)


def test_an_empty_studio_is_told_what_to_do_first(signed_in: Client) -> None:
    page = signed_in.get(reverse("desk:today")).content.decode()
    assert "Add a family" in page


def test_the_next_lesson_is_open_with_its_week(
    signed_in: Client, studio: Studio, frozen: FrozenClock
) -> None:
    a_day_with(studio, 2)
    page = signed_in.get(reverse("desk:today")).content.decode()
    assert "Two lessons today" in page
    assert "<b>105</b> of 120 minutes at home" in page
    assert page.count("Start lesson") == 1


def test_a_week_without_a_log_says_so_and_no_more(
    signed_in: Client, studio: Studio, frozen: FrozenClock
) -> None:
    a_day_with(studio, 1)
    LogEntry.objects.all().delete()
    page = signed_in.get(reverse("desk:today")).content.decode()
    assert "120 minutes planned, none noted at home" in page


@pytest.mark.parametrize("address", ["desk:today", "desk:week"])
def test_queries_do_not_grow_with_the_day(
    signed_in: Client,
    studio: Studio,
    frozen: FrozenClock,
    django_assert_max_num_queries: Any,
    address: str,
) -> None:
    a_day_with(studio, 8)
    with django_assert_max_num_queries(20):
        signed_in.get(reverse(address))


def test_another_teachers_day_is_not_shown(
    signed_in: Client, other_student: Student, frozen: FrozenClock
) -> None:
    factories.LessonFactory.create(student=other_student)
    assert "Sora" not in signed_in.get(reverse("desk:today")).content.decode()
    assert "Sora" not in signed_in.get(reverse("desk:week")).content.decode()


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("address", ["desk:today", "desk:week"])
def test_axe_finds_nothing(
    teacher_page: Page, studio: Studio, frozen: FrozenClock, address: str
) -> None:
    a_day_with(studio, 3)
    teacher_page.goto(reverse(address))
    assert_accessible(teacher_page)


def test_every_loose_end_has_an_action_that_works(
    signed_in: Client, studio: Studio, frozen: FrozenClock
) -> None:
    student = factories.StudentFactory.create(family__studio=studio)
    plan = factories.PlanFactory.create(
        assignment__student=student, assignment__starts=DAY - dt.timedelta(days=1)
    )
    make = factories.LessonFactory.create
    make(student=student, date=DAY - dt.timedelta(days=9))
    make(
        student=student,
        date=DAY - dt.timedelta(days=16),
        status="cancelled-teacher",
        make_up_owed=True,
    )
    other = factories.StudentFactory.create(family__studio=studio)
    make(student=other, date=DAY - dt.timedelta(days=2), status="kept")
    ends = loose_ends(studio, DAY)
    assert [end.verb for end in ends] == ["Decide", "Print", "Place", "Mark"]
    for end in ends:
        if not end.posts:
            assert signed_in.get(end.address).status_code == 200, end.title
    assert signed_in.get(ends[1].address).status_code == 405
    assert reverse("sheet-print", args=[plan.assignment_id]) == ends[1].address
    page = signed_in.get(reverse("desk:today")).content.decode()
    assert f'action="{ends[1].address}"' in page


@pytest.mark.django_db(transaction=True)
def test_the_mark_on_the_first_button_is_seen(
    teacher_page: Page, studio: Studio, frozen: FrozenClock
) -> None:
    teacher_page.goto(reverse("desk:today"))
    button = teacher_page.locator(".empty a.btn")
    colour = "(each) => getComputedStyle(each).color"
    assert button.locator(".mark").evaluate(colour) == button.evaluate(colour)

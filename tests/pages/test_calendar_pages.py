"""The calendar in Chromium: read by axe, by keyboard, by mouse, and without any script."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest
from django.test import Client

from studio.lessons import addresses, changes, schedule
from studio.lessons.changes import When
from studio.links import tokens
from studio.models import BusyTime, Lesson, Slot, Student, Studio, Term
from tests.conftest import NOON
from tests.factories import (
    DAY,
    ClosureFactory,
    LessonFactory,
    SlotFactory,
    StudentFactory,
    TermFactory,
)
from tests.pages.axe import assert_accessible

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("frozen")]
DROP = "document.querySelector('[data-day=\"2026-11-27\"]').getBoundingClientRect().toJSON()"


@pytest.fixture
def full(studio: Studio, student: Student) -> Term:
    """Imani on Wednesdays at 16:15, Aroha on Thursdays at 15:00, and something of everything."""
    term = TermFactory.create(studio=studio)
    ClosureFactory.create(studio=studio, starts=dt.date(2026, 12, 1), ends=dt.date(2026, 12, 1))
    aroha = StudentFactory.create(family__studio=studio, given_name="Aroha", family_name="Te Rangi")
    SlotFactory.create(studio=studio, students=[student])
    SlotFactory.create(studio=studio, students=[aroha], weekday=3, starts=dt.time(15))
    schedule.fill(studio, [term], dt.date(2026, 11, 2))
    rows = list(Lesson.objects.order_by("date", "starts"))
    changes.keep(rows[0], DAY)
    changes.miss(rows[1], DAY)
    changes.cancel(rows[2], "family", NOON - dt.timedelta(days=30))
    (lost,) = changes.cancel(rows[3], "teacher", NOON)
    changes.make_up(lost, When(dt.date(2026, 11, 27), dt.time(10)), DAY)
    starts = dt.datetime(2026, 11, 24, 15, tzinfo=dt.UTC)
    BusyTime.objects.create(
        studio=studio, what="Quartet", starts=starts, ends=starts + dt.timedelta(hours=1)
    )
    addresses.renew_family(student.family, NOON)
    return term


def the_lesson_of_today() -> Lesson:
    return Lesson.objects.get(date=DAY)


PAGES = [
    "/calendar/",
    "/calendar/month/",
    "/calendar/day/2026/11/25/",
    "/calendar/make-ups/",
    "/calendar/rules/",
    "/calendar/zone/?to=Asia/Tokyo",
    "/calendar/weekly/",
    "/calendar/weekly/add/",
    "/calendar/terms/",
    "/calendar/terms/add/",
    "/calendar/closures/add/",
    "/calendar/closures/holidays/?country=PT",
    "/calendar/addresses/",
    "/calendar/busy/",
    "/lessons/add/",
]


@pytest.mark.usefixtures("full")
@pytest.mark.parametrize("address", PAGES)
def test_axe_finds_nothing(teacher_page: Page, address: str) -> None:
    teacher_page.goto(address)
    assert_accessible(teacher_page)


def test_axe_finds_nothing_on_the_pages_of_one_thing(
    teacher_page: Page, full: Term, student: Student
) -> None:
    today = the_lesson_of_today().pk
    lost = Lesson.objects.filter(status="cancelled-family").first()
    slot = Slot.objects.first()
    assert lost is not None
    assert slot is not None
    for address in [
        f"/lessons/{today}/",
        f"/lessons/{today}/move/",
        f"/lessons/{today}/swap/",
        f"/lessons/{lost.pk}/",
        f"/lessons/{lost.pk}/make-up/",
        f"/calendar/weekly/{slot.pk}/",
        f"/calendar/terms/{full.pk}/edit/",
        f"/calendar/terms/{full.pk}/ledger/",
        f"/calendar/terms/{full.pk}/families/{student.family_id}/",
        f"/calendar/families/{student.family_id}/",
    ]:
        teacher_page.goto(address)
        assert_accessible(teacher_page)


@pytest.mark.usefixtures("full")
@pytest.mark.parametrize("address", PAGES)
def test_no_page_is_wider_than_a_phone(teacher_page: Page, address: str) -> None:
    teacher_page.set_viewport_size({"width": 390, "height": 844})
    teacher_page.goto(address)
    assert teacher_page.evaluate("document.documentElement.scrollWidth <= innerWidth")


@pytest.mark.parametrize("width", [820, 1280])
def test_no_line_of_a_lesson_is_cut_in_half(teacher_page: Page, studio: Studio, width: int) -> None:
    TermFactory.create(studio=studio)
    for name, hour in [("Bảo Châu", 15), ("Temilola", 16)]:
        LessonFactory.create(
            student__family__studio=studio,
            student__given_name=name,
            starts=dt.time(hour),
            minutes=30,
            place="Lantern Lane, upper room",
        )
    teacher_page.set_viewport_size({"width": width, "height": 1180})
    teacher_page.goto("/calendar/")
    lessons = teacher_page.locator(".block a")
    assert lessons.count() == 2
    cut = "each => each.some((one) => one.scrollHeight > one.clientHeight + 1)"
    assert not lessons.evaluate_all(cut)


@pytest.mark.usefixtures("full")
def test_axe_finds_nothing_on_a_form_that_came_back(teacher_page: Page) -> None:
    teacher_page.goto(f"/lessons/{the_lesson_of_today().pk}/move/")
    teacher_page.get_by_label("Minutes").fill("3")
    teacher_page.get_by_role("button", name="Move to this day and time").click()
    teacher_page.get_by_text("3 is too little").first.wait_for()
    assert_accessible(teacher_page)


@pytest.mark.usefixtures("full")
def test_axe_finds_nothing_on_a_phone_that_opened_the_code(
    open_page: Callable[..., Page], student: Student
) -> None:
    link = addresses.family_link(student.family)
    assert link is not None
    phone = open_page(viewport={"width": 390, "height": 844}, is_mobile=True)
    phone.goto(f"/calendars/{tokens.shown_again(link)}/")
    assert phone.get_by_role("link", name="Put them into my calendar").is_visible()
    assert phone.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert_accessible(phone)


@pytest.mark.usefixtures("full")
def test_a_lesson_is_found_and_moved_by_keyboard_alone(teacher_page: Page) -> None:
    teacher_page.goto("/calendar/")
    imani = teacher_page.locator(".column a").filter(has_text="Imani")
    imani.focus()
    teacher_page.keyboard.press("ArrowRight")
    assert "Aroha" in teacher_page.evaluate("document.activeElement.textContent")
    teacher_page.keyboard.press("ArrowLeft")
    teacher_page.keyboard.press("Enter")
    teacher_page.get_by_role("link", name="Move").focus()
    teacher_page.keyboard.press("Enter")
    free = teacher_page.locator("button[name=offer]").last
    offer = free.get_attribute("value")
    free.focus()
    teacher_page.keyboard.press("Enter")
    teacher_page.get_by_text("Calendars are told.").wait_for()
    moved = Lesson.objects.get(student__given_name="Imani", sequence=1, status="planned")
    assert f"{moved.date}T{moved.starts:%H:%M}" == offer


@pytest.mark.usefixtures("full")
def test_a_drag_opens_the_page_on_which_the_lesson_is_moved(teacher_page: Page) -> None:
    teacher_page.goto("/calendar/")
    lesson = the_lesson_of_today()
    imani = teacher_page.locator(".column a").filter(has_text="Imani")
    imani.scroll_into_view_if_needed()
    start = imani.bounding_box()
    column = teacher_page.evaluate(DROP)
    assert start is not None
    mouse = teacher_page.mouse
    mouse.move(start["x"] + 20, start["y"] + 5)
    mouse.down()
    mouse.move(column["x"] + 20, start["y"] + 20, steps=6)
    mouse.move(column["x"] + 20, start["y"] + 5, steps=6)
    mouse.up()
    teacher_page.wait_for_url(re.compile(r"/move/\?"))
    assert teacher_page.url.endswith(f"/lessons/{lesson.pk}/move/?day=2026-11-27&starts=16%3A15")
    assert teacher_page.get_by_label("Day").input_value() == "2026-11-27"
    lesson.refresh_from_db()
    assert lesson.date == DAY
    teacher_page.get_by_role("button", name="Move to this day and time").click()
    teacher_page.get_by_text("Calendars are told.").wait_for()
    lesson.refresh_from_db()
    assert (lesson.date, lesson.starts) == (dt.date(2026, 11, 27), dt.time(16, 15))


@pytest.mark.usefixtures("full")
def test_without_script_the_week_is_links_and_forms(
    open_page: Callable[..., Page], signed_in: Client, live_server: LiveServer
) -> None:
    page = open_page(java_script_enabled=False, viewport={"width": 820, "height": 1180})
    secret = signed_in.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": secret, "url": live_server.url}])
    page.goto("/calendar/")
    page.locator(".column a").filter(has_text="Imani").click()
    page.get_by_role("button", name="Kept").click()
    assert the_lesson_of_today().status == "kept"


@pytest.mark.usefixtures("full")
def test_blocks_stand_at_the_height_of_their_time(teacher_page: Page) -> None:
    teacher_page.goto("/calendar/")
    column = teacher_page.evaluate(
        "document.querySelector('[data-day=\"2026-11-25\"]').getBoundingClientRect().toJSON()"
    )
    box = teacher_page.locator(".block").filter(has_text="Imani").bounding_box()
    assert box is not None
    opens, closes = (
        int(teacher_page.locator(".column").first.get_attribute(name) or 0)
        for name in ("data-opens", "data-closes")
    )
    minute = column["height"] / ((closes - opens) * 60)
    assert box["y"] - column["y"] == pytest.approx((16.25 - opens) * 60 * minute, abs=1)
    assert box["height"] == pytest.approx(30 * minute, abs=1)

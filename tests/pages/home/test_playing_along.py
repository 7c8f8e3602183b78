"""Playing along at home: on the page by private link, and in the file without any network."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from practice.models import Assignment, Spot
from studio.models import Student
from tests.pages.home.weeks import day_url, file_in, phone_at_now
from tests.pages.test_playalong import MEASURE

pytestmark = [pytest.mark.usefixtures("frozen"), pytest.mark.django_db(transaction=True)]

# G4, A4, B4 in equal temperament, f = A * 2^((m - 69) / 12) as ISO 16 sets A; those at 415 Hz
# stand in a table made outside this project, those at 446 are worked out from the formula.
BARS = "X:1\nM:3/4\nL:1/4\nK:G\nG A B|]"
HEARD = {415: (369.7230, 415.0, 465.8218), 446: (397.3408, 446.0, 500.6181)}


@pytest.fixture
def week(week: Assignment) -> Assignment:
    """One spot and nothing else, its bars there as notes."""
    week.plan.items.exclude(spot__first_bar=3).delete()
    Spot.objects.filter(first_bar=3).update(excerpt=BARS, tempo_now=60, tempo_goal=80)
    return week


@pytest.fixture
def open_file(browser: Browser, week: Assignment, tmp_path: Path) -> Callable[[], Page]:
    """Opens the take-home file from a folder; whatever it asks elsewhere fails."""

    def opened() -> Page:
        context = phone_at_now(browser)
        context.route(re.compile("^https?:"), lambda route: route.abort())
        page = context.new_page()
        page.on("pageerror", lambda error: pytest.fail(str(error)))
        page.goto(file_in(tmp_path, week))
        return page

    return opened


def tuned_to(student: Student, a: int) -> None:
    student.family.studio.a4_hz = a
    student.family.studio.save()


def play(page: Page) -> None:
    """The notes alone, so that the first one comes after the bar that is counted."""
    page.locator(".bars .playalong").get_by_role("button", name="Play along").click()


def test_the_home_page_plays_at_the_studios_a_and_lights_each_note(
    phone: Page, token: str, student: Student, week: Assignment
) -> None:
    tuned_to(student, 415)
    phone.goto(day_url(token, student))
    with phone.expect_response(re.compile("/sounding/")) as asked:
        play(phone)
    notes = asked.value.json()
    assert [note[3] for note in notes["notes"]] == pytest.approx(HEARD[415], abs=1e-3)
    lit = phone.locator(".bars .lit circle")
    expect(lit).to_have_attribute("r", "1.4%")
    first, last = (notes["heads"][notes["notes"][n][0]][0] * 100 for n in (0, -1))
    seen: set[float] = set()
    for _ in range(60):
        phone.wait_for_timeout(50)
        seen.add(float((lit.get_attribute("cx") or "0").rstrip("%")))
    assert {round(first, 2), round(last, 2)} <= {round(x, 2) for x in seen}
    phone.get_by_role("button", name="Stop").click()
    expect(lit).to_have_attribute("r", "0")


def test_the_tempo_told_is_the_tempo_played(
    phone: Page, token: str, student: Student, week: Assignment
) -> None:
    phone.goto(day_url(token, student))
    tempo = phone.locator(".bars .playalong output")
    expect(tempo).to_have_text("60")
    phone.locator(".tempi label", has_text="72").click()
    expect(tempo).to_have_text("72")
    phone.locator(".bars").get_by_role("button", name="Faster").click()
    expect(tempo).to_have_text("76")


@pytest.mark.parametrize("a", HEARD)
def test_the_file_plays_the_same_without_a_network(
    open_file: Callable[[], Page], student: Student, a: int
) -> None:
    tuned_to(student, a)
    page = open_file()
    data = page.locator(".bars img").first.evaluate("image => JSON.parse(image.dataset.notes)")
    at = [[n + 0.1, n + 0.85, hz * 0.96, hz * 1.04] for n, hz in enumerate(HEARD[a])]
    asked = {"data": data, "bpm": 60, "at": at, "voice": "notes", "length": 8}
    assert page.evaluate(MEASURE, asked)["found"] == pytest.approx(HEARD[a], rel=5e-4)
    tonic, fifth = HEARD[a][0] / 2, HEARD[a][0] / 2 * 2 ** (7 / 12)
    low = [[0.0, 1.5, tonic * 0.96, tonic * 1.04], [0.0, 1.5, fifth * 0.96, fifth * 1.04]]
    heard = page.evaluate(MEASURE, asked | {"at": low, "voice": "drone"})["found"]
    assert heard == pytest.approx([tonic, fifth], rel=5e-4)
    play(page)
    lit = page.locator(".bars .lit circle").first
    expect(lit).to_have_attribute("r", "1.4%")
    page.get_by_role("button", name="Stop").click()
    expect(lit).to_have_attribute("r", "0")
    page.context.close()

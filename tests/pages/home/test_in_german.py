"""The scripts of the home page and of the file speak German, with a network and without one."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from practice.models import Assignment
from studio.models import Student, Studio
from tests.pages.axe import assert_accessible
from tests.pages.home.weeks import day_url, file_in, kept_then_cut_off, phone_at_now

pytestmark = [pytest.mark.usefixtures("frozen"), pytest.mark.django_db(transaction=True)]


@pytest.fixture(autouse=True)
def german(studio: Studio) -> None:
    studio.locale = "de"
    studio.save()


def test_a_page_kept_by_the_phone_stays_german_without_a_network(
    safe_phone: Page, token: str, student: Student, week: Assignment
) -> None:
    phone = safe_phone
    kept_then_cut_off(phone, day_url(token, student))
    phone.locator(".row .peg").first.click()
    expect(phone.locator("#net")).to_have_text(
        "Keine Verbindung. 1 Häkchen wartet auf diesem Handy und geht von selbst hinaus."
    )
    phone.reload()
    expect(phone.get_by_role("heading", level=1)).to_have_text("Imani am Mittwoch")
    phone.locator(".row .peg").nth(1).click()
    expect(phone.locator("#net")).to_contain_text("2 Häkchen warten auf diesem Handy")
    expect(phone.locator("#send")).to_have_text("Senden, sobald online")
    phone.context.set_offline(False)
    for _ in range(3):
        phone.evaluate("dispatchEvent(new Event('online'))")
    expect(phone.get_by_text("Marisol hat es.")).to_be_visible()
    expect(phone.locator("#send")).to_have_text("Senden")


def test_the_timer_and_wrong_minutes_speak_german(
    phone: Page, token: str, student: Student, week: Assignment
) -> None:
    phone.goto(day_url(token, student))
    assert_accessible(phone)
    phone.get_by_role("button", name="Die 6 Minuten starten").click()
    phone.get_by_role("button", name="Pause").click()
    expect(phone.get_by_role("button", name="Weiter")).to_be_visible()
    field = phone.get_by_label("Minuten, wenn nicht 6").first
    for typed, said in [("900", "können nicht 900 sein: 0 bis 240."), ("ja", "nicht „ja“.")]:
        field.fill(typed)
        field.press("Tab")
        expect(phone.locator("#net")).to_contain_text(said)


def test_the_file_writes_its_log_in_german(
    browser: Browser, week: Assignment, tmp_path: Path
) -> None:
    phone = phone_at_now(browser)
    page = phone.new_page()
    page.add_init_script("Storage.prototype.setItem = () => { throw new Error('full'); }")
    page.goto(file_in(tmp_path, week))
    expect(page).to_have_title("Woche von Imani")
    page.locator(".row .peg").first.click()
    expect(page.locator("#net")).to_contain_text("Dieser Browser merkt sich nichts.")
    with page.expect_download() as download:
        page.get_by_role("button", name="Übenotizen speichern").click()
    assert download.value.suggested_filename.startswith("imani-")
    expect(page.get_by_text("Die Übenotizen liegen bei deinen Downloads.")).to_be_visible()
    phone.close()

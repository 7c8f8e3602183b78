"""The pages of backups in a real browser: accessible, and usable without script."""

from __future__ import annotations

import datetime as dt
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from django.test import Client
from playwright.sync_api import Page, expect
from pytest_django import Settings
from pytest_django.live_server_helper import LiveServer

from studio.backups import keeping
from studio.backups.keeping import Why
from studio.models import Student
from tests.conftest import NOON
from tests.factories import StudentFactory
from tests.pages.axe import assert_accessible

PAGE = "/settings/backups/"


@pytest.fixture
def kept(student: Student, settings: Settings, tmp_path: Path) -> keeping.Backup:
    """Three days of backups; since the newest two children came."""
    settings.DATA_DIR = tmp_path / "data"
    backup = keeping.make(Why.DAILY)
    for days, why in ((1, Why.DAILY), (2, Why.UPGRADE)):
        moment = NOON - dt.timedelta(days=days)
        name = f"studio-{moment:%Y%m%dT%H%M%S}Z-{why}.zip"
        shutil.copyfile(backup.path, keeping.folder() / name)
    StudentFactory.create_batch(2, family=student.family)
    return backup


@pytest.mark.parametrize("width", [1280, 500])
def test_the_pages_are_accessible(teacher_page: Page, kept: keeping.Backup, width: int) -> None:
    teacher_page.set_viewport_size({"width": width, "height": 800})
    for path in (PAGE, f"{PAGE}{kept.name}/restore/"):
        teacher_page.goto(path)
        assert_accessible(teacher_page)
        wider = "document.documentElement.scrollWidth > window.innerWidth"
        assert not teacher_page.evaluate(wider), path


def test_among_several_studios_it_is_accessible(
    teacher_page: Page, kept: keeping.Backup, other_student: Student
) -> None:
    teacher_page.goto(PAGE)
    expect(teacher_page.get_by_text("open to several studios")).to_be_visible()
    assert_accessible(teacher_page)


def test_away_back_and_in_place_without_script(
    open_page: Callable[..., Page],
    signed_in: Client,
    live_server: LiveServer,
    kept: keeping.Backup,
    tmp_path: Path,
) -> None:
    page = open_page(viewport={"width": 820, "height": 1180}, java_script_enabled=False)
    cookie = signed_in.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    page.goto("/settings/")
    page.get_by_role("link", name="Backups").click()
    with page.expect_download() as coming:
        page.get_by_role("link", name="Download").first.click()
    away = tmp_path / "away.zip"
    coming.value.save_as(away)
    page.get_by_label("A backup from another computer").set_input_files(away)
    page.get_by_role("button", name="Look into it").click()
    row = page.get_by_role("row", name="students")
    expect(row).to_contain_text("3")
    page.get_by_label("Your password").fill("wrong")
    page.get_by_role("button", name="Restore this day").click()
    expect(page.get_by_role("alert")).to_contain_text("Nothing was changed.")
    page.get_by_label("Your password").fill("five strings minus one")
    page.get_by_role("button", name="Restore this day").click()
    expect(page.get_by_text("The backup is in place.")).to_be_visible()
    assert Student.objects.count() == 1

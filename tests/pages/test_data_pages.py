"""The pages of data in a real browser: accessible, and usable without script."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from django.test import Client
from playwright.sync_api import Page, expect
from pytest_django import Settings
from pytest_django.live_server_helper import LiveServer

from studio.models import Family, Student
from tests.factories import LessonFactory, StudentFactory
from tests.pages.axe import assert_accessible

LIST = """Name;Vorname;Geburtsdatum;Eltern;E-Mail;Geige
Okonkwo-Reyes;Imani;;Tomás Okonkwo-Reyes;tomas@example.org;1/2
Brandauer;Leonie;31.02.2012;Sabine Brandauer;sabine@example.org;3/4
Nakamura;Ren;02.06.2013;Yuki Nakamura;yuki@example.org;3/4
"""


@pytest.fixture
def imani(student: Student, settings: Settings, tmp_path: Path) -> Student:
    settings.DATA_DIR = tmp_path
    LessonFactory.create(student=student)
    StudentFactory.create(
        family=Family.objects.create(studio=student.family.studio, name="Ito"),
        given_name="Haruka",
        notes="Plays duets with Imani.",
    )
    return student


def widths(page: Page) -> None:
    wider = "document.documentElement.scrollWidth > window.innerWidth"
    assert not page.evaluate(wider), page.url


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 390])
def test_the_pages_are_accessible(
    teacher_page: Page, imani: Student, width: int, scheme: str, tmp_path: Path
) -> None:
    teacher_page.set_viewport_size({"width": width, "height": 800})
    teacher_page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    family = imani.family_id
    for path in (
        "/settings/data/",
        "/settings/roster/",
        f"/families/{family}/data/",
        f"/families/{family}/erase/",
        f"/families/{family}/erase/?look",
    ):
        teacher_page.goto(path)
        assert_accessible(teacher_page)
        widths(teacher_page)
    look_at(teacher_page, tmp_path)
    assert_accessible(teacher_page)
    widths(teacher_page)
    teacher_page.get_by_role("button", name="Bring in 1 student").click()
    expect(teacher_page.get_by_role("heading", name="Take it back")).to_be_visible()
    assert_accessible(teacher_page)
    widths(teacher_page)


def look_at(page: Page, folder: Path) -> None:
    file = folder / "list.csv"
    file.write_text(LIST, encoding="cp1252")
    page.goto("/settings/roster/")
    page.get_by_label("The list").set_input_files(file)
    page.get_by_role("button", name="Look at it").click()


def test_a_list_in_and_back_without_script(
    open_page: Callable[..., Page],
    signed_in: Client,
    live_server: LiveServer,
    imani: Student,
    tmp_path: Path,
) -> None:
    page = open_page(viewport={"width": 820, "height": 1180}, java_script_enabled=False)
    cookie = signed_in.cookies["sessionid"].value
    page.context.add_cookies([{"name": "sessionid", "value": cookie, "url": live_server.url}])
    look_at(page, tmp_path)
    expect(page.get_by_text("31.02.2012”")).to_be_visible()
    page.get_by_label("Imani Okonkwo-Reyes").check()
    page.get_by_label("Geburtsdatum").select_option("")
    page.get_by_role("button", name="Look again").click()
    expect(page.get_by_label("Imani Okonkwo-Reyes")).to_be_checked()
    expect(page.get_by_label("Geburtsdatum")).to_have_value("")
    page.get_by_role("button", name="Bring in 3 students").click()
    assert Student.objects.filter(given_name="Imani").count() == 2
    page.get_by_role("button", name="Take 3 students back").click()
    assert Student.objects.count() == 2


def test_the_readable_page_of_a_family_is_accessible(
    page: Page, signed_in: Client, imani: Student, tmp_path: Path
) -> None:
    answer = signed_in.post(f"/families/{imani.family_id}/data/file/", {"notes": "on"})
    content = b"".join(answer.streaming_content)  # type: ignore[attr-defined]
    answer.close()
    html = zipfile.ZipFile(io.BytesIO(content)).read("page.html").decode()
    assert "://" not in html  # nothing is fetched
    page.set_content(html)
    expect(page.get_by_role("heading", name="Lessons")).to_be_visible()
    assert_accessible(page)

"""Record, help and the page that locks a backup: accessible and no wider than the window."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page
from pytest_django import Settings

from studio.backups import keeping
from studio.backups.keeping import Why
from studio.models import Student
from studio.record.models import What
from studio.record.noting import note_everywhere
from tests.pages.axe import assert_accessible


@pytest.mark.parametrize("width", [1280, 390])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_pages_are_accessible(
    teacher_page: Page,
    student: Student,
    settings: Settings,
    tmp_path: Path,
    width: int,
    scheme: str,
) -> None:
    settings.DATA_DIR = tmp_path
    backup = keeping.make(Why.DAILY)
    note_everywhere(What.BACKUP_MADE, backup.name)
    teacher_page.set_viewport_size({"width": width, "height": 800})
    teacher_page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    lock = f"/settings/backups/{backup.name}/lock/"
    for path in ("/settings/record/", "/help/first-hour/", "/help/running/", lock):
        teacher_page.goto(path)
        assert_accessible(teacher_page)
        wider = "document.documentElement.scrollWidth > window.innerWidth"
        assert not teacher_page.evaluate(wider), path

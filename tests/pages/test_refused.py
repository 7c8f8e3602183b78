"""The page of a full disk: accessible, no larger than the window, and what was typed is there."""

from __future__ import annotations

import errno

import pytest
from playwright.sync_api import Page, expect

from tests.pages.axe import assert_accessible

LARGER = """[document.documentElement.scrollWidth > window.innerWidth,
    document.documentElement.scrollHeight > window.innerHeight]"""


def full(*_: object, **__: object) -> None:
    raise OSError(errno.ENOSPC, "No space left on device")


@pytest.mark.parametrize("width", [1280, 390])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_full_disk_is_told(
    teacher_page: Page, monkeypatch: pytest.MonkeyPatch, width: int, scheme: str
) -> None:
    page = teacher_page
    page.set_viewport_size({"width": width, "height": 800})
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    with monkeypatch.context() as patch:
        patch.setattr("studio.help.views.units", full)
        page.goto("/help/running/")
        expect(page.get_by_text("Make room on the disk, then try again.")).to_be_visible()
        assert_accessible(page)
        assert page.evaluate(LARGER) == [False, False]
    page.get_by_role("link", name="Try again").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Keep it running")
    page.goto("/settings/")
    page.get_by_label("Your name, as you sign").fill("Marisol Achterberg")
    with monkeypatch.context() as patch:
        patch.setattr("studio.access.forms.SettingsForm.save", full)
        page.get_by_role("button", name="Keep these settings").click()
        expect(page.get_by_text("Make room on the disk, then send it again.")).to_be_visible()
        expect(page.get_by_label("Typed in “Your name, as you sign”")).to_have_value(
            "Marisol Achterberg"
        )
        assert_accessible(page)
        assert not page.evaluate(LARGER)[0]
    page.get_by_role("button", name="Send it again").click()
    expect(page.get_by_text("The settings are kept.")).to_be_visible()

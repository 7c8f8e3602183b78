"""A long score is drawn page by page, as its pages are asked for."""

from __future__ import annotations

import pytest
from django.test import Client

from practice.models import Score


def test_pages_are_drawn_as_they_are_asked_for(signed_in: Client, long_score: Score) -> None:
    url = f"/scores/{long_score.pk}/"
    shown = signed_in.get(url)
    pages = shown.context["pages"]
    assert [hasattr(page, "boxes") for page in pages] == [True, *[False] * (len(pages) - 1)]
    html = shown.content.decode()
    assert f'hx-get="{url}leaf-2/?tempo=80&amp;piece=' in html
    assert f"Page {len(pages)}: bar " in html
    leaf = signed_in.get(f"{url}leaf-2/?tempo=80").content.decode()
    assert 'aria-label="Bar ' in leaf
    assert f'src="{url}page-2.svg"' in leaf
    assert "<html" not in leaf
    missing = len(pages) + 1
    assert signed_in.get(f"{url}leaf-{missing}/").status_code == 404
    assert signed_in.get(f"{url}leaf-0/").status_code == 404


def test_a_tapped_bars_page_is_drawn_and_keeps_its_tick(
    signed_in: Client, long_score: Score
) -> None:
    shown = signed_in.get(f"/scores/{long_score.pk}/?bar=121&page=2")
    drawn = [page.number for page in shown.context["pages"] if hasattr(page, "boxes")]
    assert drawn == [2, len(shown.context["pages"])]
    assert 'value="121" aria-label="Bar 120, likely to be hard" class="hard" checked' in (
        shown.content.decode()
    )


@pytest.mark.parametrize("page", ["0", "99", "x", "-1"])
def test_a_page_that_does_not_exist_is_the_nearest(
    signed_in: Client, long_score: Score, page: str
) -> None:
    shown = signed_in.get(f"/scores/{long_score.pk}/?page={page}")
    assert sum(hasattr(each, "boxes") for each in shown.context["pages"]) == 1

"""The home page for those who zoom, listen, touch with a shaking hand, or bear no motion."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from practice.models import Assignment
from studio.models import Student
from tests.pages.home.weeks import day_url, file_in, phone_at_now

pytestmark = [pytest.mark.usefixtures("frozen"), pytest.mark.django_db(transaction=True)]
TOLD = {"heading", "link", "checkbox", "radio", "textbox", "button", "DisclosureTriangle"}
# What stands out on the right, or is cut by its own box; music alone may be scrolled sideways.
CUT = """() => {
  const wide = document.documentElement.clientWidth, found = [];
  for (const each of document.querySelectorAll('body *')) {
    if (each.closest('.music, .vh, svg') || !each.checkVisibility()) continue;
    const style = getComputedStyle(each), box = each.getBoundingClientRect();
    if (style.opacity === '0' || !box.width) continue;
    const spills = style.overflowX !== 'visible' && each.scrollWidth > each.clientWidth + 1;
    if (box.right > wide + 0.5 || box.left < -0.5 || spills)
      found.push(`${each.tagName}.${each.className} ${box.left}..${box.right}`);
  }
  return found;
}"""
# Names broken within a word: more lines than words.
BROKEN = """() => [...document.querySelectorAll('h1, .days span:not(.vh), .t b, .go span')]
  .filter((each) => each.checkVisibility())
  .filter((each) => {
    const lines = new Set(), range = document.createRange();
    const texts = document.createTreeWalker(each, NodeFilter.SHOW_TEXT);
    while (texts.nextNode()) {
      range.selectNodeContents(texts.currentNode);
      for (const box of range.getClientRects()) lines.add(Math.round(box.bottom));
    }
    return lines.size > each.innerText.trim().split(/\\s+/).length;
  }).map((each) => each.innerText)
"""
SMALL = """() => [...document.querySelectorAll('a, button, summary, input, textarea, select')]
  .filter((each) => each.checkVisibility())
  .map((each) => [each, (each.matches('[type=checkbox], [type=radio]') && each.closest('label')
    || each).getBoundingClientRect()])
  .filter(([, box]) => box.width && (box.width < 43.9 || box.height < 43.9))
  .map(([each, box]) => `${each.tagName} ${each.className || each.name} ${box.width}x${box.height}`)
"""
MOVING = """() => {
  const timed = [...document.querySelectorAll('*')].filter((each) => {
    const style = getComputedStyle(each);
    return /[1-9]/.test(style.transitionDuration) || style.animationName !== 'none';
  });
  return [...timed.map((each) => each.className), ...document.getAnimations().map(String)];
}"""


@pytest.fixture(params=["home page", "take-home file"])
def opened(
    request: pytest.FixtureRequest,
    browser: Browser,
    open_page: Callable[..., Page],
    token: str,
    student: Student,
    week: Assignment,
    tmp_path: Path,
) -> Callable[..., Page]:
    """Opens the day with a context's options; the single file's phone stands at NOW."""

    def open_it(**options: Any) -> Page:
        if request.param == "home page":
            page = open_page(service_workers="block", **options)
            page.goto(day_url(token, student))
        else:
            context = phone_at_now(browser, **options)
            request.addfinalizer(context.close)
            page = context.new_page()
            page.goto(file_in(tmp_path, week))
        expect(page.get_by_role("heading", level=1)).to_be_visible()
        return page

    return open_it


def open_all(page: Page) -> None:
    page.evaluate("() => document.querySelectorAll('details').forEach((each) => each.open = true)")


def test_at_twice_the_size_nothing_is_cut_and_nothing_scrolls_sideways(
    opened: Callable[..., Page],
) -> None:
    """A phone of 390 pixels zoomed to 200 % has 195 of CSS."""
    page = opened(viewport={"width": 195, "height": 422})
    for _ in range(2):
        assert page.evaluate("() => document.documentElement.scrollWidth") <= 195
        assert page.evaluate(CUT) == []
        assert page.evaluate(BROKEN) == []
        open_all(page)


def test_with_letters_twice_as_large_nothing_is_cut(opened: Callable[..., Page]) -> None:
    page = opened(viewport={"width": 390, "height": 844})
    page.evaluate("() => { document.documentElement.style.fontSize = '200%'; }")
    for _ in range(2):
        assert page.evaluate("() => document.documentElement.scrollWidth") <= 390
        assert page.evaluate(CUT) == []
        assert page.evaluate(BROKEN) == []
        open_all(page)


@pytest.mark.parametrize("width", [360, 390])
def test_whatever_is_touched_is_44_pixels_wide_and_high(
    opened: Callable[..., Page], width: int
) -> None:
    page = opened(viewport={"width": width, "height": 844}, has_touch=True, is_mobile=True)
    assert page.evaluate(SMALL) == []
    open_all(page)
    assert page.evaluate(SMALL) == []


def test_nothing_moves_by_itself(opened: Callable[..., Page]) -> None:
    page = opened(viewport={"width": 390, "height": 844}, reduced_motion="reduce")
    page.locator(".row .peg").first.click()
    open_all(page)
    assert page.evaluate(MOVING) == []


def heard(page: Page) -> list[str]:
    """What a screen reader comes to, in its order: "role name" of each heading and control."""
    nodes = page.context.new_cdp_session(page).send("Accessibility.getFullAXTree")["nodes"]
    by_id = {node["nodeId"]: node for node in nodes}

    def walk(node: dict[str, Any]) -> list[str]:
        role = node.get("role", {}).get("value", "")
        own = [f"{role} {node.get('name', {}).get('value', '')}".strip()]
        below = [line for child in node.get("childIds", []) for line in walk(by_id[child])]
        return (own if role in TOLD and not node["ignored"] else []) + below

    return walk(nodes[0])


def starting(lines: list[str], start: str) -> str:
    return next(line for line in lines if line.startswith(start))


def test_the_order_heard_is_the_order_of_the_day(opened: Callable[..., Page]) -> None:
    page = opened(viewport={"width": 390, "height": 844})
    lines = heard(page)
    places = [
        next((n for n, line in enumerate(lines) if line.startswith(start)), -1)
        for start in (
            "heading Imani’s Wednesday",
            "link Monday 23 November",
            "link Wednesday 25 November, today",
            "link Sunday 29 November",
            "checkbox Scale",
            "button Play along",
            "button Start the 6 minutes",
            "textbox Minutes, if not 6",
            "checkbox Spots",
            "DisclosureTriangle bars and tempo of Spots",
            "DisclosureTriangle Add a word",
        )
    ]
    assert -1 not in places, lines
    assert places == sorted(places), lines
    assert lines[0] == "heading Imani’s Wednesday"
    assert len([line for line in lines if line.startswith("checkbox Scale")]) == 1
    # The next item is open, the one after it is not: nothing inside it is come to.
    assert not [line for line in lines if line.startswith("radio")]
    page.locator(".row .peg").first.click()
    after = heard(page)
    assert [line for line in after if line.startswith("radio")]
    assert "button Play along" not in after[: after.index(starting(after, "checkbox Spots"))]

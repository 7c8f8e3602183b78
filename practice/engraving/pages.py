"""A whole piece, engraved page by page, with the place of every bar for tapping."""

from dataclasses import replace
from functools import lru_cache

from practice.engraving.engrave import Engraving, Layout, loaded, options, sized
from practice.music.line import Line
from practice.music.mei import line_to_mei
from practice.music.score import Score, label

SCREEN = Layout(7.0, 186.0)
_PAGE_MM = 240.0


def score_pages(
    score: Score, layout: Layout = SCREEN, page_mm: float = _PAGE_MM
) -> tuple[Engraving, ...]:
    """The pages in order; each names its bars in its text alternative, and holds the box of each
    (`bars`, ids m1, m2 … by place in the score). Raises EngravingFailed."""
    pages = _pages(score.line, layout, page_mm)
    title = score.title or "The piece"
    return tuple(
        replace(page, alt=f"{title}, page {number} of {len(pages)}: {_extent(score, page)}.")
        for number, page in enumerate(pages, start=1)
    )


def bar_at(box: str) -> int:
    """The place of a bar in the score, from 0, by the id of its box."""
    return int(box.removeprefix("m")) - 1


def _extent(score: Score, page: Engraving) -> str:
    if not page.bars:
        return "no bars"
    first, last = (label(score, bar_at(box.bar)) for box in (page.bars[0], page.bars[-1]))
    return first if first == last else f"{first} to {last}"


@lru_cache(maxsize=32)
def _pages(line: Line, layout: Layout, page_mm: float) -> tuple[Engraving, ...]:
    mei = line_to_mei(line, numbers=True)
    height = int(page_mm * 72 / layout.staff_mm)
    room = {"pageHeight": height, "minLastJustification": 0.6, "spacingSystem": 8}
    toolkit = loaded(mei, options(layout) | room)
    count = toolkit.getPageCount()
    return tuple(sized(toolkit.renderToSVG(number), layout) for number in range(1, count + 1))

"""A whole piece, engraved page by page as each is asked for, with the place of every bar for
tapping. Where its pages begin is known before one of them is drawn."""

from bisect import bisect_left
from dataclasses import dataclass, replace
from functools import lru_cache

from django.utils.translation import gettext as _

from practice.engraving.engrave import Engraving, EngravingFailed, Layout, loaded, options, sized
from practice.music.line import Line
from practice.music.mei import line_to_mei
from practice.music.score import Score, label

SCREEN = Layout(7.0, 186.0)
PAGE_MM = 240.0


@dataclass(frozen=True, slots=True)
class Pages:
    """How a piece falls into pages: the place of the first bar of each, from 0."""

    mei: str
    layout: Layout
    page_mm: float
    first: tuple[int, ...]
    bars: int

    @property
    def count(self) -> int:
        return len(self.first)

    def holding(self, place: int) -> int:
        """The number of the page, from 1, on which a bar stands."""
        return max(1, sum(first <= place for first in self.first))

    def places(self, number: int) -> range:
        """The bars of a page."""
        end = self.first[number] if number < self.count else self.bars
        return range(self.first[number - 1], end)


def pages_of(score: Score, layout: Layout = SCREEN, page_mm: float = PAGE_MM) -> Pages:
    """Laid out, not yet drawn. Raises EngravingFailed."""
    return _laid_out(score.line, layout, page_mm)


def draw_page(score: Score, number: int, pages: Pages | None = None) -> Engraving:
    """One page, from 1. It names its bars in its text alternative and holds the box of each
    (`bars`, ids m1, m2 … by place in the score). Raises EngravingFailed."""
    pages = pages or pages_of(score)
    words = _("{title}, page {number} of {count}: {bars}.")
    alt = words.format(
        title=score.title or _("The piece"),
        number=number,
        count=pages.count,
        bars=extent(score, pages, number),
    )
    return replace(_drawn(pages, number), alt=alt)


def extent(score: Score, pages: Pages, number: int) -> str:
    """ "bar 13 to bar 24"."""
    places = pages.places(number)
    first, last = label(score, places[0]), label(score, places[-1])
    if first == last:
        return first
    return _("{first} to {last}").format(first=first, last=last)


def bar_at(box: str) -> int:
    """The place of a bar in the score, from 0, by the id of its box."""
    return int(box.removeprefix("m")) - 1


@lru_cache(maxsize=32)
def _laid_out(line: Line, layout: Layout, page_mm: float) -> Pages:
    mei = line_to_mei(line, numbers=True)
    toolkit = loaded(mei, _settings(layout, page_mm))
    places, numbers = range(len(line.bars)), range(1, toolkit.getPageCount() + 1)

    def page_of(place: int) -> int:
        return int(toolkit.getPageWithElement(f"m{place + 1}"))

    # A look takes longer the further back the bar stands, so few are taken.
    first = tuple(bisect_left(places, number, key=page_of) for number in numbers)
    if [page_of(place) for place in first if place in places] != list(numbers):
        raise EngravingFailed(_("The music could not be put on pages."))
    return Pages(mei, layout, page_mm, first, len(places))


@lru_cache(maxsize=128)
def _drawn(pages: Pages, number: int) -> Engraving:
    toolkit = loaded(pages.mei, _settings(pages.layout, pages.page_mm))
    return sized(toolkit.renderToSVG(number), pages.layout)


def _settings(layout: Layout, page_mm: float) -> dict[str, object]:
    height = int(page_mm * 72 / layout.staff_mm)
    return options(layout) | {
        "pageHeight": height,
        "minLastJustification": 0.6,
        "spacingSystem": 8,
    }

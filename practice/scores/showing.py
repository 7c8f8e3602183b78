"""What the page of a score shows: pages with bars to tap, hard bars, the bars in hand."""

from __future__ import annotations

from collections.abc import Collection
from contextlib import suppress
from dataclasses import dataclass
from urllib.parse import urlencode

from django.http import QueryDict

from practice.engraving.pages import Pages, bar_at, draw_page, extent, pages_of
from practice.engraving.pictures import Picture
from practice.music.errors import MusicError
from practice.music.hard_bars import HardBar
from practice.music.score import Score as Music
from practice.music.score import label
from practice.repertoire.excerpts import bars_in, easier_keys, picture_of
from practice.repertoire.finding import by_difficulty
from practice.repertoire.models import PieceInHand, Work
from practice.scores.forms import (
    USUAL_TEMPO,
    TappedSpotForm,
    page_from,
    places_from,
    tempo_from,
)
from practice.scores.taking import Taken, take_bars
from studio.access.models import Studio

UNIT = 1000  # width of a page in the units of its boxes
ETUDES = 3


@dataclass(frozen=True)
class BarBox:
    """A bar to tap, in units of its page; `place` counts from 1."""

    place: int
    name: str
    x: int
    y: int
    width: int
    height: int
    tapped: bool
    hard: bool


@dataclass(frozen=True)
class ShownPage:
    number: int
    alt: str
    height: int
    width_px: int
    height_px: int
    boxes: tuple[BarBox, ...]


@dataclass(frozen=True)
class WaitingPage:
    """A page that is drawn when it comes into sight; `words` say which bars it holds."""

    number: int
    words: str


@dataclass(frozen=True)
class Advice:
    """One hard bar with its place from 1, and etudes that train the technique of its weightiest
    reason; where no etude trains that, of the next reason."""

    bar: HardBar
    place: int
    technique: str
    etudes: tuple[Work, ...]


@dataclass(frozen=True)
class Tapped:
    """What was asked for: tapped places from 0, whose piece, the tempo wanted, and the number of
    the page to begin with."""

    places: tuple[int, ...]
    piece: PieceInHand | None
    tempo: int
    page: int = 1

    @property
    def same(self) -> str:
        """Whose piece and the tempo, as an address has them."""
        pairs = {"tempo": self.tempo}
        return urlencode(pairs | {"piece": self.piece.pk} if self.piece else pairs)

    @property
    def query(self) -> str:
        """The tapped bars too."""
        return "&".join([*(f"bar={place + 1}" for place in self.places), self.same])


def tapped_from(query: QueryDict, pieces: list[PieceInHand]) -> Tapped:
    chosen = query.get("piece", "")
    piece = next((each for each in pieces if str(each.pk) == chosen), None)
    if piece is None and len(pieces) == 1:
        piece = pieces[0]
    goal = getattr(piece, "goal", None) or USUAL_TEMPO
    return Tapped(
        tuple(places_from(query.getlist("bar"))),
        piece,
        tempo_from(query.get("tempo", ""), goal),
        page_from(query.get("page", "")),
    )


def shown_pages(
    music: Music, asked: Tapped, hard: Collection[int]
) -> list[ShownPage | WaitingPage]:
    """The page asked for and those with tapped bars are drawn, the others wait.
    Raises EngravingFailed."""
    pages = pages_of(music)
    begin = min(asked.page, pages.count)
    drawn = {begin, *(pages.holding(place) for place in asked.places if place < pages.bars)}
    return [
        shown_page(music, number, asked.places, hard, pages)
        if number in drawn
        else WaitingPage(number, extent(music, pages, number))
        for number in range(1, pages.count + 1)
    ]


def shown_page(
    music: Music,
    number: int,
    tapped: Collection[int],
    hard: Collection[int],
    pages: Pages | None = None,
) -> ShownPage:
    """One page with a box for each of its bars. Raises EngravingFailed."""
    page = draw_page(music, number, pages)
    ratio = page.height_mm / page.width_mm
    boxes = []
    for box in page.bars:
        place = bar_at(box.bar)
        boxes.append(
            BarBox(
                place + 1,
                label(music, place),
                round(box.x * UNIT),
                round(box.y * UNIT * ratio),
                round(box.width * UNIT),
                round(box.height * UNIT * ratio),
                place in tapped,
                place in hard,
            )
        )
    size = round(page.width_mm * 96 / 25.4), round(page.height_mm * 96 / 25.4)
    return ShownPage(number, page.alt, round(UNIT * ratio), *size, tuple(boxes))


def advice(studio: Studio, bars: tuple[HardBar, ...], near: int | None) -> list[Advice]:
    """Hard bars with etudes of the catalogue; one query."""
    etudes = by_difficulty(Work.objects.open_to(studio).etudes()) if bars else []
    found = []
    for bar in bars:
        trained = {each.technique: _training(etudes, each.technique, near) for each in bar.reasons}
        technique = next((name for name in trained if trained[name]), bar.reasons[0].technique)
        found.append(Advice(bar, bar.index + 1, technique, trained[technique]))
    return found


def _training(etudes: list[Work], technique: str, near: int | None) -> tuple[Work, ...]:
    """Those nearest in difficulty to the piece first; the easiest where nobody said how hard."""
    fitting = [etude for etude in etudes if technique in etude.techniques]
    if near is not None:
        fitting.sort(key=lambda etude: abs((etude.difficulty or 99) - near))
    return tuple(fitting[:ETUDES])


def etude_now(asked: Tapped) -> int | None:
    """The work that is the etude of the student asked for; one query."""
    if asked.piece is None:
        return None
    etudes = asked.piece.student.etudes.filter(until=None)
    return etudes.values_list("work_id", flat=True).first()


@dataclass(frozen=True)
class InHand:
    """The tapped bars engraved, their bowing, and the same bars in simpler keys."""

    taken: Taken
    picture: Picture
    simpler: tuple[tuple[str, Picture], ...]


def in_hand(music: Music, places: tuple[int, ...]) -> InHand:
    """Raises MusicError with a sentence."""
    taken = take_bars(music, places)
    simpler = []
    for key in easier_keys(taken.abc):
        with suppress(MusicError):
            simpler.append((key, picture_of(bars_in(taken.abc, key))))
    return InHand(taken, picture_of(taken.abc), tuple(simpler))


def spot_form(pieces: list[PieceInHand], asked: Tapped, what: str = "") -> TappedSpotForm:
    piece = asked.piece.pk if asked.piece else None
    goal = asked.tempo
    initial = {"piece": piece, "tempo_goal": goal, "tempo_now": min(60, goal), "what": what}
    return TappedSpotForm(pieces=pieces, initial=initial)

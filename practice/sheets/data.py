"""Everything that stands on one assignment sheet, as frozen values that survive JSON unchanged.

A stored sheet prints again with the same content: nothing here is looked up while printing.
Text speaks to the student in the imperative; given names only, because the sheet travels.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cached_property
from typing import Any

from practice.planning import codec


class Paper(StrEnum):
    A4 = "A4"
    LETTER = "Letter"  # no words: the name of a format


class Style(StrEnum):
    """A pre-reader's sheet has large marks and book numbers, and no staff."""

    READER = "reader"
    PRE_READER = "pre-reader"


class DayKind(StrEnum):
    PRACTICE = "practice"
    LESSON = "lesson"
    OFF = "off"


@dataclass(frozen=True)
class Picture:
    """Engraved music: `svg` as drawn, or `spec`, from which it is drawn while printing."""

    alt: str
    svg: str = ""
    width_mm: float = 0.0
    height_mm: float = 0.0
    spec: str = ""


@dataclass(frozen=True)
class Day:
    """Name and number as printed above the column: "Thu", "26"."""

    name: str
    number: str
    kind: DayKind = DayKind.PRACTICE


@dataclass(frozen=True)
class Row:
    """One item: its mark (a file of static/marks), and minutes for each day, None: not today."""

    mark: str
    name: str
    minutes: tuple[int | None, ...]
    detail: str = ""


@dataclass(frozen=True)
class Session:
    """`rests` are minutes of rest on each day; they count as no practice, `rest_hint` says when.

    `starts` are times by the studio's clock for each day, "" where there is none; only for
    children who share a violin.
    """

    name: str
    rows: tuple[Row, ...]
    rests: tuple[int | None, ...] = ()
    rest_hint: str = ""
    starts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Card:
    title: str
    text: str = ""


@dataclass(frozen=True)
class Stave:
    """An engraved line with its heading, where it comes from, and what to do after it."""

    picture: Picture
    heading: str = ""
    source: str = ""
    after: str = ""


@dataclass(frozen=True)
class Scale:
    title: str
    detail: str = ""
    staves: tuple[Stave, ...] = ()


@dataclass(frozen=True)
class Easier:
    """A spot's bars in a simpler key ("G major"): its second exercise, `text` says whence, `sign`
    names the tonic alone."""

    key: str
    text: str
    picture: Picture
    sign: str = ""


@dataclass(frozen=True)
class Spot:
    """`label` is "bar" or "bars", `bars` "3" or "7–8"; the last of the pegs is the goal."""

    bars: str
    label: str = "bar"
    cue: str = ""
    instruction: str = ""
    pegs: tuple[int, ...] = ()
    picture: Picture | None = None
    easier: Easier | None = None


@dataclass(frozen=True)
class Piece:
    title: str
    composer: str = ""
    hint: str = ""
    spots: tuple[Spot, ...] = ()


@dataclass(frozen=True)
class Exercise:
    """One line of a pre-reader's back: the number in large, a ring for each time (5 at most).

    `label` says what the number is: "number", "page", "bar".
    """

    mark: str
    name: str
    number: str = ""
    text: str = ""
    times: int = 3
    label: str = ""


@dataclass(frozen=True)
class Code:
    """A QR code as SVG, what stands under it, and the address it holds."""

    svg: str
    caption: str
    address: str


@dataclass(frozen=True)
class SheetData:
    """One week for one student. `listen_for` may hold *words to stress* between stars."""

    student: str
    teacher: str
    span: str
    short_span: str
    days: tuple[Day, ...]
    sessions: tuple[Session, ...]
    paper: Paper = Paper.A4
    style: Style = Style.READER
    next_lesson: tuple[str, ...] = ()
    listen_for: str = ""
    favourite: Card | None = None
    explore: Card | None = None
    scale: Scale | None = None
    etude: Card | None = None
    pieces: tuple[Piece, ...] = ()
    exercises: tuple[Exercise, ...] = ()
    also: tuple[Card, ...] = ()
    codes: tuple[Code, ...] = ()
    language: str = "en"
    version: int = 1

    def __post_init__(self) -> None:
        for session in self.sessions:
            for row in session.rows:
                if len(row.minutes) != len(self.days):
                    raise ValueError(
                        f"{row.name} has minutes for {len(row.minutes)} days,"
                        f" the week has {len(self.days)}."
                    )
            if session.rests and len(session.rests) != len(self.days):
                raise ValueError(
                    f"{session.name} has rests for {len(session.rests)} days,"
                    f" the week has {len(self.days)}."
                )

    @cached_property
    def totals(self) -> tuple[int, ...]:
        """Minutes of each day, all sessions together; rests are no practice."""
        return tuple(
            sum(row.minutes[day] or 0 for session in self.sessions for row in session.rows)
            for day in range(len(self.days))
        )

    def to_json(self) -> dict[str, Any]:
        data: dict[str, Any] = codec.to_json(self)
        return data

    @classmethod
    def from_json(cls, data: object) -> SheetData:
        """Raises ValueError that names the field when the data has another shape."""
        return codec.from_json(cls, data)


def drawn(data: SheetData, draw: Callable[[str], Picture]) -> SheetData:
    """The sheet with every picture that is only a spec drawn by `draw` (spec -> Picture)."""

    def picture(each: Picture) -> Picture:
        if each.svg or not each.spec:
            return each
        made = draw(each.spec)
        return replace(made, alt=each.alt or made.alt, spec=each.spec)

    scale = data.scale and replace(
        data.scale,
        staves=tuple(replace(s, picture=picture(s.picture)) for s in data.scale.staves),
    )

    def spot(each: Spot) -> Spot:
        easier = each.easier and replace(each.easier, picture=picture(each.easier.picture))
        return replace(each, picture=each.picture and picture(each.picture), easier=easier)

    pieces = tuple(
        replace(piece, spots=tuple(spot(each) for each in piece.spots)) for piece in data.pieces
    )
    return replace(data, scale=scale, pieces=pieces)

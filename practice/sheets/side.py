"""One sheet as its two templates need it: cells, sizes and texts worked out, no arithmetic left."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from practice.sheets.data import (
    Card,
    DayKind,
    Easier,
    Paper,
    Picture,
    Row,
    Session,
    SheetData,
    Spot,
    Style,
)
from practice.sheets.fit import (
    LISTEN_ON_FRONT,
    OWN_HEAD,
    OWN_STAFF,
    Fit,
    own_space_mm,
    row_height_mm,
    word_lines,
)
from practice.sheets.ink import for_paper
from practice.sheets.words import parted, shortened

NAME_LIMIT, DETAIL_LIMIT = 34, 44
NO_TICK_OWED = frozenset({"explore"})  # marks of rows with no goal: minutes, but no ring to tick


@dataclass(frozen=True)
class Cell:
    """`blank`: nothing of this session on that day; `rest`: here stands the sign of a day off."""

    minutes: int | None
    blank: bool
    rest: bool = False


@dataclass(frozen=True)
class RowView:
    mark: str
    name: str
    name_class: str
    detail: str
    detail_class: str
    owes_tick: bool
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class Head:
    """Minutes of one session on one day, its rest, and its start where that is shown."""

    minutes: int
    rest: int
    start: str = ""


@dataclass(frozen=True)
class Band:
    name: str
    rest_hint: str
    heads: tuple[Head, ...]
    rows: tuple[RowView, ...]


@dataclass(frozen=True)
class PictureView:
    """Sizes are text, so that no language writes them with a comma. Music that could not be
    drawn has no name; its words are printed instead."""

    name: str
    alt: str
    width_mm: str
    height_mm: str


@dataclass(frozen=True)
class StaveView:
    picture: PictureView
    heading: str
    source: str
    after: str


@dataclass(frozen=True)
class EasierView:
    """`sign` is what stands where the bar's number does: "G", "B flat"."""

    key: str
    sign: str
    text: str
    picture: PictureView


@dataclass(frozen=True)
class SpotView:
    label: str
    bars: str
    cue: str
    instruction: str
    pegs: tuple[int, ...]
    picture: PictureView | None
    easier: EasierView | None = None

    @property
    def words(self) -> str:
        return self.cue or self.instruction


@dataclass(frozen=True)
class PieceView:
    title: str
    composer: str
    hint: str
    spots: tuple[SpotView, ...]


@dataclass(frozen=True)
class CodeView:
    picture: str
    caption: str
    address: str


class SheetView:
    """Made anew for each fit."""

    def __init__(self, data: SheetData, fit: Fit) -> None:
        self.data = data
        self.fit = fit
        self.pictures: dict[str, str] = {}
        front, rest = data.listen_for, ""
        if fit.front.part_listen:
            front, rest = parted(data.listen_for, LISTEN_ON_FRONT)
        self.listen, self.listen_rest = front, rest
        self.bands = tuple(self._band(number, each) for number, each in enumerate(data.sessions))
        self.staves = self._staves()
        self.pieces = self._pieces()
        self.codes = tuple(
            CodeView(self._keep(code.svg), code.caption, code.address) for code in data.codes
        )

    @property
    def back_template(self) -> str:
        return "sheets/back_pre_reader.html" if self.is_large else "sheets/back.html"

    @property
    def side_class(self) -> str:
        paper = "letter" if self.data.paper is Paper.LETTER else "a4"
        return f"{paper} pre" if self.is_large else paper  # no words: classes

    @property
    def name_class(self) -> str:
        length = len(self.data.student)
        return (
            ""
            if length <= 13
            else "long"
            if length <= 20
            else "longer"
            if length <= 44
            else "longest"
        )

    @property
    def is_large(self) -> bool:
        return self.data.style is Style.PRE_READER

    @property
    def front_style(self) -> str:
        front = self.fit.front
        row = row_height_mm(self.data, front)
        return f"--k:{front.k};--air:{front.air};--row:{row:.2f}mm;--listen:{front.listen_pt}pt"

    @property
    def back_style(self) -> str:
        return f"--k:{self.fit.back.k};--air:{self.fit.back.air}"

    @property
    def word_lines(self) -> range:
        """Lines to write on; only the loosest front has more than two."""
        return range(word_lines(self.data, self.fit.front) if self.fit.front_step == 0 else 2)

    @property
    def own_staves(self) -> range:
        """Empty staves for a tune of the student's own, where the back has room."""
        return range(min(5, int((own_space_mm(self.data, self.fit) - OWN_HEAD) // OWN_STAFF)))

    @property
    def own_box_mm(self) -> int:
        """Height of the box to draw in, 0 for none."""
        return max(0, min(110, int(own_space_mm(self.data, self.fit)) - OWN_HEAD))

    @property
    def has_pegs(self) -> bool:
        return any(spot.pegs for piece in self.pieces for spot in piece.spots)

    @cached_property
    def in_full(self) -> tuple[Card, ...]:
        """Words of a row that the front had to shorten, once each."""
        rows = [row for session in self.data.sessions for row in session.rows]
        long = [
            Card(shortened(row.name, NAME_LIMIT), f"{row.name}. {row.detail}".strip(". "))
            if len(row.name) > NAME_LIMIT
            else Card(row.name, row.detail)
            for row in rows
            if len(row.name) > NAME_LIMIT or len(row.detail) > DETAIL_LIMIT
        ]
        return tuple(dict.fromkeys(long))

    def _keep(self, svg: str) -> str:
        name = f"sheet-{len(self.pictures)}"
        self.pictures[name] = svg
        return name

    def _picture(self, picture: Picture) -> PictureView:
        scale = self.fit.back.k
        return PictureView(
            self._keep(for_paper(picture.svg)) if picture.svg else "",
            picture.alt,
            f"{picture.width_mm * scale:.2f}",
            f"{picture.height_mm * scale:.2f}",
        )

    def _staves(self) -> tuple[StaveView, ...]:
        if self.data.scale is None:
            return ()
        return tuple(
            StaveView(self._picture(stave.picture), stave.heading, stave.source, stave.after)
            for stave in self.data.scale.staves
        )

    def _pieces(self) -> tuple[PieceView, ...]:
        return tuple(
            PieceView(
                piece.title,
                piece.composer,
                piece.hint,
                tuple(self._spot(spot) for spot in piece.spots),
            )
            for piece in self.data.pieces
        )

    def _spot(self, spot: Spot) -> SpotView:
        return SpotView(
            spot.label,
            spot.bars,
            spot.cue,
            spot.instruction,
            spot.pegs,
            self._picture(spot.picture) if spot.picture else None,
            self._easier(spot.easier) if spot.easier else None,
        )

    def _easier(self, easier: Easier) -> EasierView:
        sign = easier.sign or easier.key.rpartition(" ")[0]  # sheets of before have no sign
        return EasierView(easier.key, sign, easier.text, self._picture(easier.picture))

    def _band(self, number: int, session: Session) -> Band:
        days = range(len(self.data.days))
        minutes = [sum(row.minutes[day] or 0 for row in session.rows) for day in days]
        rests = session.rests or (0,) * len(self.data.days)
        starts = session.starts or ("",) * len(self.data.days)
        heads = tuple(Head(minutes[day], rests[day] or 0, starts[day]) for day in days)
        rows = tuple(
            self._row(row, place, session, minutes, first_band=number == 0)
            for place, row in enumerate(session.rows)
        )
        return Band(session.name, session.rest_hint, heads, rows)

    def _row(
        self, row: Row, place: int, session: Session, held: list[int], first_band: bool
    ) -> RowView:
        middle = first_band and place == (len(session.rows) - 1) // 2
        cells = tuple(
            Cell(minutes, not held[day], middle and self._is_off(day))
            for day, minutes in enumerate(row.minutes)
        )
        return RowView(
            mark=row.mark,
            name=shortened(row.name, NAME_LIMIT),
            name_class="long" if len(row.name) > 16 else "",
            detail=shortened(row.detail, DETAIL_LIMIT),
            detail_class="long" if len(row.detail) > 22 else "",
            owes_tick=row.mark not in NO_TICK_OWED,
            cells=cells,
        )

    def _is_off(self, day: int) -> bool:
        return self.data.days[day].kind is DayKind.OFF and not self.data.totals[day]

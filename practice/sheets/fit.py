"""How tightly a sheet is set, so that whatever stands on it takes exactly two sides."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from django.utils import translation
from django.utils.translation import gettext as _

from practice.sheets.data import Paper, Picture, Scale, SheetData, Spot, Style

ROOM_MM = {Paper.A4: 282.0, Paper.LETTER: 265.4}  # page height less the margins in sheet.css
MM_PER_PT = 25.4 / 72
LISTEN_ON_FRONT = 170  # letters of the teacher's words kept on the front when it is full


@dataclass(frozen=True)
class FrontFit:
    """`k` scales everything, `air` the gaps; the teacher's words go over when `part_listen`."""

    listen_pt: float = 20.5
    air: float = 1.0
    k: float = 1.0
    part_listen: bool = False


@dataclass(frozen=True)
class BackFit:
    air: float = 1.0
    k: float = 1.0


@dataclass(frozen=True)
class Fit:
    """Places in FRONTS and BACKS."""

    front_step: int = 0
    back_step: int = 0

    @property
    def front(self) -> FrontFit:
        return FRONTS[self.front_step]

    @property
    def back(self) -> BackFit:
        return BACKS[self.back_step]


# From loose to tight: first the air and the size of the teacher's words, then everything a little,
# then her words go on over the page, and only then does everything get small.
FRONTS = (
    FrontFit(),
    FrontFit(listen_pt=18, air=0.6),
    FrontFit(listen_pt=17, air=0.3),
    FrontFit(listen_pt=17, air=0.3, k=0.96),
    FrontFit(listen_pt=17, air=0.3, k=0.92),
    *(
        FrontFit(listen_pt=16, air=0.3, k=k, part_listen=True)
        for k in (1.0, 0.96, 0.92, 0.88, 0.84, 0.8, 0.75, 0.7, 0.64, 0.58)
    ),
)
# Air before size: notes and letters shrink only when nothing else helps.
BACKS = (
    *(BackFit(air=air) for air in (2.2, 1.6, 1.0, 0.6, 0.25)),
    *(
        BackFit(air=0.25, k=k)
        for k in (0.97, 0.94, 0.91, 0.88, 0.85, 0.82, 0.78, 0.74, 0.7, 0.64, 0.58)
    ),
)
# A spot's second exercise goes before the notes get smaller than this.
LEAST_WITH_EASIER = 0.85

# Heights in mm at full size, measured on printed sheets. They only choose where the search for a
# fit begins and how tall the rows are: whether a side holds is read off the pages that come out.
LEAST_ROW = {Style.READER: 9.9, Style.PRE_READER: 14.8}
TALLEST_ROW = {Style.READER: 13.0, Style.PRE_READER: 19.0}
HEAD, TABLE_HEAD, BAND, TABLE_FOOT, FOOT = 25, 18, 7, 9, 26
BACK_HEAD, HEADING, LINE, TEXT_WIDTH = 17, 9, 5.4, 186
WORD_LINE, LEAST_OWN, OWN_HEAD, OWN_STAFF = 8.6, 52, 20, 17


def first_fit(data: SheetData) -> Fit:
    """The loosest fit in which both sides should hold."""
    fronts = [step for step, fit in enumerate(FRONTS) if _rows_room_mm(data, fit) >= 0]
    front = min(fronts, default=len(FRONTS) - 1)
    room = ROOM_MM[data.paper] - 3
    backs = [
        step
        for step, fit in enumerate(BACKS)
        if fit.k * (_back_mm(data, fit) + _over_mm(data, FRONTS[front], fit.k)) <= room
    ]
    return Fit(front, min(backs, default=len(BACKS) - 1))


def with_room(data: SheetData) -> SheetData:
    """The sheet with as many second exercises as it has room for; the last ones go first."""
    while has_easier(data) and first_fit(data).back.k < LEAST_WITH_EASIER:
        data = one_easier_less(data)
    return data


def has_easier(data: SheetData) -> bool:
    return any(spot.easier for piece in data.pieces for spot in piece.spots)


def one_easier_less(data: SheetData) -> SheetData:
    """The last second exercise becomes a sentence of its spot."""
    pieces = list(data.pieces)
    for n in reversed(range(len(pieces))):
        spots = list(pieces[n].spots)
        for m in reversed(range(len(spots))):
            easier = spots[m].easier
            if easier:
                with translation.override(data.language):
                    too = _("Try it in {key}, too.").format(key=easier.key)
                said = f"{spots[m].instruction} {too}".strip()
                spots[m] = replace(spots[m], instruction=said, easier=None)
                pieces[n] = replace(pieces[n], spots=tuple(spots))
                return replace(data, pieces=tuple(pieces))
    return data


def row_height_mm(data: SheetData, front: FrontFit) -> float:
    """Height of a row that fills the front, between what fits its words and what looks right."""
    least = LEAST_ROW[data.style]
    spare = _rows_room_mm(data, front) / max(1, _row_count(data))
    return front.k * min(TALLEST_ROW[data.style], least + max(0.0, spare))


def word_lines(data: SheetData, front: FrontFit) -> int:
    """Lines for the word from home: two, and more where the front has room to spare."""
    growth = (TALLEST_ROW[data.style] - LEAST_ROW[data.style]) * _row_count(data)
    spare = _rows_room_mm(data, front) - growth
    return 2 + max(0, min(6, int(spare // WORD_LINE)))


def own_space_mm(data: SheetData, fit: Fit) -> float:
    """Room on the back for a tune or a drawing of one's own; 0 where there is too little."""
    if fit.back_step > 1:
        return 0.0
    spare = ROOM_MM[data.paper] - 3 - _back_mm(data, fit.back) - _over_mm(data, fit.front, 1.0)
    return spare if spare >= LEAST_OWN else 0.0


def _row_count(data: SheetData) -> int:
    return sum(len(session.rows) for session in data.sessions)


def _lines(text: str, letters: float) -> int:
    return math.ceil(len(text) / letters)


def _rows_room_mm(data: SheetData, front: FrontFit) -> float:
    """What is left of the front when each row has its least height, at full size."""
    said = data.listen_for[:LISTEN_ON_FRONT] if front.part_listen else data.listen_for
    lines = _lines(f"{said} {data.teacher}", 1290 / front.listen_pt) if said else 0
    listen = 5 + 3 * front.air + lines * front.listen_pt * 1.17 * MM_PER_PT if lines else 0
    cards = [f"{card.title} {card.text}" for card in (data.favourite, data.explore) if card]
    pair = 4 * front.air + 10 + 5.3 * max(_lines(card, 35) for card in cards) if cards else 0
    bands = sum(BAND + (4.5 if any(session.rests) else 0) for session in data.sessions)
    around = HEAD + listen + TABLE_HEAD + bands + TABLE_FOOT + pair + 4 * front.air + FOOT
    return ROOM_MM[data.paper] / front.k - 2 - around - LEAST_ROW[data.style] * _row_count(data)


def _over_mm(data: SheetData, front: FrontFit, k: float) -> float:
    """What the front hands over to the back."""
    over = len(data.listen_for) - LISTEN_ON_FRONT if front.part_listen else 0
    return 8 + LINE * math.ceil(over * k / 92) if over > 0 else 0.0


def _back_mm(data: SheetData, fit: BackFit) -> float:
    air, wider = fit.air, 1 / fit.k  # smaller letters: more of them in a line
    if data.style is Style.PRE_READER:
        return BACK_HEAD + 9 + (18.5 + 10 * air) * len(data.exercises) + 12 * len(data.also)
    height = float(BACK_HEAD)
    etude = [_("Etude:"), data.etude.title, data.etude.text] if data.etude else []
    lines = [" ".join(etude)] if etude else []
    lines += [f"{card.title} {card.text}" for card in data.also]
    height += sum(8 * air + 3 + LINE * _lines(line, 84 * wider) for line in lines)
    height += _scale_mm(data.scale, air, wider) if data.scale else 0
    height += HEADING + 1.2 * air if data.pieces else 0
    for piece in data.pieces:
        height += 7 + 3 * air + sum(_spot_mm(spot, air, wider) for spot in piece.spots)
    return height


def _scale_mm(scale: Scale, air: float, wider: float) -> float:
    height = HEADING + 1.2 * air + 5 * (_lines(scale.detail, 75 * wider) - 1)
    for stave in scale.staves:
        heading = LINE + air if stave.heading or stave.source else 0
        after = LINE * _lines(stave.after, 92 * wider) + 0.8 * air if stave.after else 0
        height += stave.picture.height_mm + 2.6 * air + heading + after
    return height


def _spot_mm(spot: Spot, air: float, wider: float) -> float:
    words = f"{spot.cue} {spot.instruction}"
    height = _beside_mm(spot.picture or Picture(""), words, air, wider, 11.5 if spot.pegs else 0)
    if spot.easier:
        heading = _("First in {key}.").format(key=spot.easier.key)
        words = f"{heading} {spot.easier.text}"
        height += _beside_mm(spot.easier.picture, words, air, wider)
    return height


def _beside_mm(picture: Picture, words: str, air: float, wider: float, below: float = 0.0) -> float:
    """A picture with words beside it, and what stands below the words."""
    room = TEXT_WIDTH * wider - 21 - picture.width_mm
    said = LINE * _lines(words, max(12.0, room * 0.47))
    return 2.6 * air + max(picture.height_mm, said + below)

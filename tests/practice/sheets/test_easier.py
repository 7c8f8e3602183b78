"""A spot's second exercise on paper: named, never too many, never at the cost of the notes."""

from dataclasses import replace

import pytest

from practice.sheets.data import Easier, Paper, SheetData
from practice.sheets.fit import LEAST_WITH_EASIER, first_fit, has_easier, with_room
from practice.sheets.render import sheet_pdf
from tests.practice.sheets.samples import OVERFULL, READER, music
from tests.practice.sheets.test_render import reader, squeezed

EASIER = Easier(
    "C major",
    "It is bar 3 of your Minuet, moved to where the fingers lie easier.",
    music(58, 20, "C major, three-four. Bar 3: E, C slurred to D."),
)


def with_easier(data: SheetData, only: int = 99) -> SheetData:
    """Every spot up to that many has a second exercise."""
    pieces, left = [], only
    for piece in data.pieces:
        spots = []
        for spot in piece.spots:
            spots.append(replace(spot, easier=EASIER) if left > 0 else spot)
            left -= 1
        pieces.append(replace(piece, spots=tuple(spots)))
    return replace(data, pieces=tuple(pieces))


@pytest.mark.parametrize("paper", Paper)
def test_a_second_exercise_stands_before_its_spot_and_says_whence(paper: Paper) -> None:
    pages = reader(sheet_pdf(with_easier(replace(READER, paper=paper), 1))).pages
    assert len(pages) == 2
    back = squeezed(pages[1].extract_text())
    assert squeezed("First in C major.") in back
    assert squeezed("It is bar 3 of your Minuet") in back
    what = squeezed(READER.pieces[0].spots[0].instruction)
    assert what
    assert back.index(squeezed("First in C major.")) < back.index(what)


@pytest.mark.parametrize("paper", Paper)
def test_never_more_second_exercises_than_the_back_has_room_for(paper: Paper) -> None:
    crowded = with_easier(replace(OVERFULL, paper=paper))
    asked = sum(len(piece.spots) for piece in crowded.pieces)
    content = sheet_pdf(crowded)
    assert len(reader(content).pages) == 2
    back = squeezed(reader(content).pages[1].extract_text())
    printed_ones = back.count(squeezed("First in C major."))
    in_words = back.count(squeezed("Try it in C major, too."))
    assert printed_ones < asked
    assert printed_ones + in_words == asked


def test_second_exercises_never_make_the_notes_small() -> None:
    for count in range(1, 5):
        roomy = with_room(with_easier(READER, count))
        if has_easier(roomy):
            assert first_fit(roomy).back.k >= LEAST_WITH_EASIER


def test_a_sheet_frozen_before_second_exercises_still_prints() -> None:
    old = READER.to_json()
    for piece in old["pieces"]:
        for spot in piece["spots"]:
            del spot["easier"]
    assert sheet_pdf(SheetData.from_json(old)) == sheet_pdf(READER)

import datetime as dt

import pytest
from django import forms

from practice.bench.piece_forms import NewSpotForm, PieceForm, SpotForm, read_bars
from practice.plans.hand import HandPiece, HandSpot

SPOT = HandSpot(41, 3, 3, "C is a low 2", 60, 80)
PIECE = HandPiece(7, 1, 1, "Minuet in G", "Petzold", "reading", dt.date(2026, 9, 14), (SPOT,))


@pytest.mark.parametrize(
    ("text", "bars"),
    [("7", (7, 7)), ("7-8", (7, 8)), (" 7 – 8 ", (7, 8)), ("7 to 12", (7, 12)), ("٣", (3, 3))],
)
def test_bars_are_read_as_teachers_write_them(text: str, bars: tuple[int, int]) -> None:
    assert read_bars(text) == bars


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("seven", "“seven” are no bars. Write numbers like 7 or 7–8."),
        ("7,9", "“7,9” are no bars. Write numbers like 7 or 7–8."),
        ("0", "“0”: bars are counted from 1 to 9999."),
        ("12000", "“12000”: bars are counted from 1 to 9999."),
        ("8-7", "The last bar, 7, lies before the first, 8."),
    ],
)
def test_what_are_no_bars_is_named(text: str, sentence: str) -> None:
    with pytest.raises(forms.ValidationError) as refused:
        read_bars(text)
    assert refused.value.messages == [sentence]


def spot_form(**values: str) -> SpotForm:
    said = {"what": "C is a low 2", "now": "60", "wanted": "80", "state": "troubled"} | values
    return SpotForm({f"spot-41-{name}": value for name, value in said.items()}, spot=SPOT)


@pytest.mark.parametrize(
    ("values", "field", "sentence"),
    [
        ({"wanted": "50"}, "wanted", "The tempo wanted, 50, lies below the tempo now, 60."),
        ({"now": "fast"}, "now", "“fast” is not a whole number."),
        ({"now": "900"}, "now", "900 is too much; at most 300."),
        ({"now": "5"}, "now", "5 is too little; at least 20."),
        ({"what": "x" * 300}, "what", "300 characters are too many; at most 200 fit."),
        ({"what": ""}, "what", "What is wrong in bar 3 is missing."),
    ],
)
def test_a_spot_that_cannot_be_is_refused(
    values: dict[str, str], field: str, sentence: str
) -> None:
    assert spot_form(**values).errors[field] == [sentence]


def test_solved_wins_over_the_state() -> None:
    form = spot_form(solved="on", state="firm")
    assert form.is_valid()
    assert form.chosen_state() == "solved"


def test_an_unknown_state_is_refused() -> None:
    assert "state" in spot_form(state="perfect").errors


def new_spot(**values: str) -> NewSpotForm:
    said = {"bars": "", "what": "", "now": "60", "wanted": "80"} | values
    data = {f"new-7-1-{name}": value for name, value in said.items()}
    return NewSpotForm(data, piece=PIECE, number=1)


def test_a_row_without_bars_and_words_is_no_spot() -> None:
    form = new_spot()
    assert form.is_valid()
    assert form.is_blank


def test_half_a_new_spot_says_what_is_missing() -> None:
    assert new_spot(what="late").errors == {
        "bars": ["Name the bars of the new spot, like 7 or 7–8."]
    }
    assert new_spot(bars="7").errors == {"what": ["Write in a few words what is wrong there."]}
    assert new_spot(bars="7", what="late", now="").errors == {"now": ["Tempo now is missing."]}


def test_a_piece_goes_to_its_next_stage_only() -> None:
    values = [value for value, _ in PieceForm(piece=PIECE).choices]
    assert values == ["keep", "working-up", "finished"]
    form = PieceForm({"piece-7-stage": "polishing"}, piece=PIECE)
    assert form.errors["stage"] == ["“polishing” is no stage this piece can go to."]

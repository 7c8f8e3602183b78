from dataclasses import replace

from practice.sheets.data import Picture, SheetData, Stave
from practice.sheets.fit import BACKS, FRONTS, Fit, first_fit, row_height_mm
from practice.sheets.side import DETAIL_LIMIT, SheetView
from tests.practice.sheets.samples import FULL, OVERFULL, READER, SCALE, SHEETS


def view(data: SheetData, front_step: int = 0) -> SheetView:
    return SheetView(data, Fit(front_step))


def test_heads_of_a_session_add_up_to_the_day() -> None:
    for day, total in enumerate(FULL.totals):
        assert sum(band.heads[day].minutes for band in view(FULL).bands) == total


def test_a_day_off_shows_one_rest_in_its_column() -> None:
    rests = [
        day
        for band in view(READER).bands
        for row in band.rows
        for day, cell in enumerate(row.cells)
        if cell.rest
    ]
    assert rests == [3]


def test_a_day_without_the_session_has_no_lines() -> None:
    first, second = view(READER).bands
    assert [cell.blank for cell in first.rows[0].cells] == [False] * 3 + [True] + [False] * 3
    assert [cell.blank for cell in second.rows[3].cells] == [False] * 3 + [True] + [
        False,
        False,
        True,
    ]


def test_words_shortened_in_a_row_stand_in_full_on_the_back() -> None:
    seen = view(OVERFULL)
    for session, band in zip(OVERFULL.sessions, seen.bands, strict=True):
        for row, shown in zip(session.rows, band.rows, strict=True):
            assert len(shown.detail) <= DETAIL_LIMIT
            assert shown.detail.endswith("…")
            assert any(card.text == row.detail for card in seen.in_full)


def test_nothing_is_repeated_where_everything_fits() -> None:
    assert view(READER).in_full == ()


def test_the_teachers_words_go_over_whole() -> None:
    parting = next(step for step, fit in enumerate(FRONTS) if fit.part_listen)
    seen = view(OVERFULL, parting)
    assert f"{seen.listen} {seen.listen_rest}" == OVERFULL.listen_for
    assert view(OVERFULL).listen_rest == ""


def test_music_that_could_not_be_drawn_keeps_its_words() -> None:
    stave = Stave(Picture("G major: G A B C", spec="scale/G"))
    seen = view(replace(READER, scale=replace(SCALE, staves=(stave,)), pieces=()))
    assert seen.staves[0].picture.name == ""
    assert seen.staves[0].picture.alt == "G major: G A B C"
    assert seen.pictures == {}


def test_first_fit_is_looser_for_less() -> None:
    for data in SHEETS.values():
        fit = first_fit(data)
        assert 0 <= fit.front_step < len(FRONTS)
        assert 0 <= fit.back_step < len(BACKS)
    assert first_fit(READER).back_step < first_fit(OVERFULL).back_step


def test_fewer_rows_are_taller() -> None:
    few = replace(READER, sessions=READER.sessions[:1])
    assert row_height_mm(few, FRONTS[0]) >= row_height_mm(READER, FRONTS[0])

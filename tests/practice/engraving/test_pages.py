from itertools import pairwise

from practice.engraving.pages import bar_at, score_pages
from practice.music.abc_tune import read_tune
from practice.music.score import Score


def piece(bars: int) -> Score:
    music = "|".join("(AB)cd (ef)ga" for _ in range(bars))
    return read_tune(f"X:1\nT:Long Piece\nM:4/4\nL:1/8\nK:D\nA|{music}|]")


def test_a_long_piece_takes_several_pages_that_hold_every_bar_once() -> None:
    pages = score_pages(piece(120))
    assert len(pages) > 1
    places = [bar_at(box.bar) for page in pages for box in page.bars]
    assert places == list(range(121))
    assert all(page.height_mm <= 241 for page in pages)
    heads = [head.note for page in pages for head in page.heads]
    assert heads == [f"n{i}" for i in range(1, 120 * 8 + 2)]


def test_a_page_says_which_bars_it_shows() -> None:
    pages = score_pages(piece(8))
    assert [page.alt for page in pages] == ["Long Piece, page 1 of 1: the pickup to bar 8."]


def test_boxes_stand_side_by_side_on_the_page() -> None:
    page = score_pages(piece(12))[0]
    for box in page.bars:
        assert 0 <= box.x < box.x + box.width <= 1.001
        assert 0 <= box.y < 1
    for one, other in pairwise(page.bars):
        assert other.y > one.y or abs(one.x + one.width - other.x) < 0.01


def test_the_heads_of_a_bar_stand_in_its_box() -> None:
    page = score_pages(piece(6))[0]
    second = page.bars[1]
    inside = [
        head.note
        for head in page.heads
        if second.x <= head.x <= second.x + second.width
        and second.y <= head.y <= second.y + second.height
    ]
    assert inside == [f"n{i}" for i in range(2, 10)]


def test_printed_numbers_are_drawn_and_bars_without_one_stay_bare() -> None:
    numbered = score_pages(piece(40))[0].svg
    assert numbered == score_pages(piece(40))[0].svg
    assert "<text" not in numbered

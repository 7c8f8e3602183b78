from concurrent.futures import ThreadPoolExecutor
from itertools import pairwise

import pytest

from practice.engraving.engrave import SPOT, Engraving, EngravingFailed, engrave, loaded, options
from practice.engraving.pages import _drawn, bar_at, draw_page, extent, pages_of
from practice.music.abc_tune import read_tune
from practice.music.keys import parse_key
from practice.music.score import Score
from practice.music.staves import scale_staff


def piece(bars: int) -> Score:
    music = "|".join("(AB)cd (ef)ga" for _ in range(bars))
    return read_tune(f"X:1\nT:Long Piece\nM:4/4\nL:1/8\nK:D\nA|{music}|]")


def all_pages(score: Score) -> list[Engraving]:
    return [draw_page(score, number) for number in range(1, pages_of(score).count + 1)]


def test_a_long_piece_takes_several_pages_that_hold_every_bar_once() -> None:
    pages = all_pages(piece(120))
    assert len(pages) > 1
    places = [bar_at(box.bar) for page in pages for box in page.bars]
    assert places == list(range(121))
    assert all(page.height_mm <= 241 for page in pages)
    heads = [head.note for page in pages for head in page.heads]
    assert heads == [f"n{i}" for i in range(1, 120 * 8 + 2)]


def test_where_a_page_begins_is_known_before_it_is_drawn() -> None:
    score = piece(120)
    pages = pages_of(score)
    for number, page in enumerate(all_pages(score), start=1):
        drawn = [bar_at(box.bar) for box in page.bars]
        assert list(pages.places(number)) == drawn
        assert {pages.holding(place) for place in drawn} == {number}
    assert extent(score, pages, 1).startswith("the pickup to bar ")


def test_a_page_is_drawn_only_when_it_is_asked_for() -> None:
    score = piece(119)
    _drawn.cache_clear()
    draw_page(score, 1, pages_of(score))
    assert _drawn.cache_info().currsize == 1


def test_a_page_says_which_bars_it_shows() -> None:
    assert draw_page(piece(8), 1).alt == "Long Piece, page 1 of 1: the pickup to bar 8."


def test_a_page_is_the_same_whatever_was_engraved_between() -> None:
    score = piece(120)
    pages = pages_of(score)
    _drawn.cache_clear()
    at_once = [draw_page(score, 1).svg, draw_page(score, 2).svg]
    _drawn.cache_clear()
    first = draw_page(score, 1).svg
    engrave(scale_staff(parse_key("G major")).mei, SPOT)
    assert [first, draw_page(score, 2, pages).svg] == at_once


def test_what_a_toolkit_holds_is_read_once_and_no_more_once_it_failed() -> None:
    mei, settings = scale_staff(parse_key("D major")).mei, options(SPOT)
    with pytest.raises(EngravingFailed):
        loaded("no music", settings)
    assert loaded(mei, settings).getPageCount() == 1
    with pytest.raises(EngravingFailed):
        loaded("no music", settings)
    assert loaded(mei, dict(settings)).renderToSVG(1)


def test_four_threads_draw_the_pages_one_draws() -> None:
    scores = [piece(bars) for bars in (60, 70, 80, 90)]
    alone = [[page.svg for page in all_pages(score)] for score in scores]
    _drawn.cache_clear()

    def turned(start: int) -> list[list[str]]:
        found = {}
        for score in scores[start:] + scores[:start]:
            pages = pages_of(score)
            drawn = (_drawn.__wrapped__(pages, n).svg for n in range(1, pages.count + 1))
            found[len(score.bars)] = list(drawn)
        return [found[len(score.bars)] for score in scores]

    with ThreadPoolExecutor(4) as pool:
        for drawn in pool.map(turned, range(4)):
            assert drawn == alone


def test_boxes_stand_side_by_side_on_the_page() -> None:
    page = draw_page(piece(12), 1)
    for box in page.bars:
        assert 0 <= box.x < box.x + box.width <= 1.001
        assert 0 <= box.y < 1
    for one, other in pairwise(page.bars):
        assert other.y > one.y or abs(one.x + one.width - other.x) < 0.01


def test_the_heads_of_a_bar_stand_in_its_box() -> None:
    page = draw_page(piece(6), 1)
    second = page.bars[1]
    inside = [
        head.note
        for head in page.heads
        if second.x <= head.x <= second.x + second.width
        and second.y <= head.y <= second.y + second.height
    ]
    assert inside == [f"n{i}" for i in range(2, 10)]


def test_printed_numbers_are_drawn_and_bars_without_one_stay_bare() -> None:
    numbered = draw_page(piece(40), 1).svg
    _drawn.cache_clear()
    assert numbered == draw_page(piece(40), 1).svg
    assert "<text" not in numbered

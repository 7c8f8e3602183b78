import pytest

from studio.web.week_bars import week_bars

DAYS = ["Thu", "Fri", "Sat", "Sun"]


def test_heights_keep_the_proportion_of_the_minutes() -> None:
    week = week_bars([20, 40, 10, None], [20, 10, 0, 0], DAYS)
    first, second, third, _ = week.bars
    assert second.planned == pytest.approx(2 * first.planned, abs=0.11)
    assert first.logged == first.planned
    assert second.logged == pytest.approx(second.planned / 4, abs=0.11)
    assert (third.logged, third.planned > 0) == (0, True)


def test_nothing_is_drawn_above_the_picture_or_below_its_base() -> None:
    week = week_bars([1, 5, 25, 2000], [0, 240, 3, 7], DAYS, large=True)
    for bar in week.bars:
        assert 0 <= bar.planned_top <= week.base
        assert 0 <= bar.logged_top <= week.base
        assert bar.amount_at > 0


def test_words_tell_each_day_as_the_picture_does() -> None:
    week = week_bars([20, 40, None, 0], [20, 10, None, 5], DAYS)
    assert week.words == (
        "Minutes logged of minutes planned: Thu 20 of 20, Fri 10 of 40, Sat off, Sun 5 of 0."
    )


def test_a_week_without_a_minute_is_all_rest() -> None:
    week = week_bars([None] * 4, [0] * 4, DAYS)
    assert all(bar.planned == bar.logged == 0 and bar.amount is None for bar in week.bars)


def test_days_that_do_not_agree_are_refused_with_their_numbers() -> None:
    with pytest.raises(ValueError, match="2 days planned, 1 logged and 4 named"):
        week_bars([1, 2], [1], DAYS)

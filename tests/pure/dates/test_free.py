import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.dates.free import Booked, Offer, best_of, booked, clash, first_clash, offers

NOON = dt.datetime(2026, 11, 25, 12, 0, tzinfo=dt.UTC)
TRAVEL = dt.timedelta(minutes=20)


def at(minute: int, minutes: int = 30, place: str | None = "", shared: object = None) -> Booked:
    return booked(NOON + dt.timedelta(minutes=minute), minutes, f"at {minute}", place, shared)


def test_touching_lessons_in_one_room_do_not_clash() -> None:
    assert not clash(at(0), at(30))
    assert clash(at(0), at(29))


def test_lessons_in_two_places_need_the_way_between_them() -> None:
    assert clash(at(0), at(49, place="School"), TRAVEL)
    assert not clash(at(0), at(50, place="School"), TRAVEL)


def test_a_lesson_on_a_screen_needs_no_way() -> None:
    assert not clash(at(0), at(30, place=None), TRAVEL)


def test_siblings_who_share_a_lesson_do_not_clash_with_each_other() -> None:
    assert not clash(at(0, shared=7), at(0, shared=7))
    assert clash(at(0, shared=7), at(0, shared=8))
    assert clash(at(0, shared=7), at(15, shared=7))


def test_a_stretch_runs_in_elapsed_minutes_through_a_clock_change() -> None:
    starts = dt.datetime(2027, 3, 28, 0, 45, tzinfo=dt.UTC)  # Lisbon jumps at 01:00
    assert booked(starts, 30).ends == dt.datetime(2027, 3, 28, 1, 15, tzinfo=dt.UTC)


def test_an_end_before_the_start_is_refused() -> None:
    with pytest.raises(ValueError, match="Ada ends at"):
        Booked(NOON, NOON, "Ada")


def test_the_first_of_several_clashes_is_named() -> None:
    found = first_clash(at(0, 120), [at(60), at(30), at(200)])
    assert found is not None
    assert found.what == "at 30"
    assert first_clash(at(0), [at(30)]) is None


def test_offers_stand_beside_lessons_and_on_the_quarter_hours() -> None:
    window = (NOON, NOON + dt.timedelta(minutes=120))
    found = offers(window, [at(40, 25)], 30, place="", step=30)
    minutes = [(int((offer.starts - NOON).total_seconds() // 60), offer.beside) for offer in found]
    assert minutes == [(0, False), (10, True), (65, True), (90, False)]


def test_best_of_prefers_times_beside_lessons_and_spreads_the_others() -> None:
    found = [Offer(NOON + dt.timedelta(minutes=30 * n), n in (3, 6)) for n in range(9)]
    minutes = [(offer.starts - NOON).seconds // 60 for offer in best_of(found, 4)]
    assert minutes == [0, 90, 180, 240]
    assert [offer.beside for offer in best_of(found, 2)] == [True, True]


stretches = st.builds(
    at,
    st.integers(0, 400),
    st.integers(10, 90),
    st.sampled_from(["", "School", None]),
)


@given(st.lists(stretches, max_size=8), st.integers(10, 90), st.sampled_from(["", "School", None]))
def test_no_offer_clashes_and_no_free_step_is_left_out(
    taken: list[Booked], minutes: int, place: str | None
) -> None:
    window = (NOON, NOON + dt.timedelta(minutes=480))
    found = offers(window, taken, minutes, place=place, travel=TRAVEL)
    starts = {offer.starts for offer in found}
    for step in range(0, 481, 15):
        wanted = booked(NOON + dt.timedelta(minutes=step), minutes, place=place)
        fits = wanted.ends <= window[1] and first_clash(wanted, taken, TRAVEL) is None
        assert (wanted.starts in starts) == fits
    for start in starts:
        wanted = booked(start, minutes, place=place)
        assert first_clash(wanted, taken, TRAVEL) is None
        assert window[0] <= wanted.starts
        assert wanted.ends <= window[1]

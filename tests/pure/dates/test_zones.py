import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.dates.zones import NoSuchTimeError, comes_twice, to_utc, to_wall

# Rules of the IANA time zone database: the European Union changes at 01:00 UTC, Newfoundland at
# 02:00 local, Lord Howe Island by half an hour only, Nepal stands at +05:45 without any change.
GAPS = [
    ("Europe/Lisbon", "2027-03-28", "01:30", "01:00", "02:00"),
    ("Europe/Berlin", "2027-03-28", "02:30", "02:00", "03:00"),
    ("America/St_Johns", "2027-03-14", "02:30", "02:00", "03:00"),
    ("Australia/Lord_Howe", "2026-10-04", "02:15", "02:00", "02:30"),
    ("America/New_York", "2027-03-14", "02:00", "02:00", "03:00"),
]
INSTANTS = [
    ("Europe/Lisbon", "2026-10-24", "16:30", "2026-10-24T15:30"),
    ("Europe/Lisbon", "2026-10-25", "16:30", "2026-10-25T16:30"),
    ("America/St_Johns", "2026-10-31", "16:30", "2026-10-31T19:00"),
    ("America/St_Johns", "2026-11-01", "16:30", "2026-11-01T20:00"),
    ("Asia/Kathmandu", "2026-10-25", "16:30", "2026-10-25T10:45"),
    ("Australia/Lord_Howe", "2026-10-03", "16:30", "2026-10-03T06:00"),
    ("Australia/Lord_Howe", "2026-10-04", "16:30", "2026-10-04T05:30"),
]
ZONES = ["Europe/Lisbon", "America/St_Johns", "Asia/Kathmandu", "Australia/Lord_Howe"]


@pytest.mark.parametrize(("zone", "day", "time", "jump_from", "jump_to"), GAPS)
def test_a_time_the_clocks_jump_over_is_refused_with_the_reason(
    zone: str, day: str, time: str, jump_from: str, jump_to: str
) -> None:
    with pytest.raises(NoSuchTimeError) as refused:
        to_utc(dt.date.fromisoformat(day), dt.time.fromisoformat(time), ZoneInfo(zone))
    assert f"go forward from {jump_from} to {jump_to}" in str(refused.value)
    assert f"{time} does not exist" in str(refused.value)


@pytest.mark.parametrize(("zone", "day", "time", "utc"), INSTANTS)
def test_instants_on_both_sides_of_a_clock_change(zone: str, day: str, time: str, utc: str) -> None:
    instant = to_utc(dt.date.fromisoformat(day), dt.time.fromisoformat(time), ZoneInfo(zone))
    assert instant == dt.datetime.fromisoformat(f"{utc}+00:00")


def test_the_times_at_both_edges_of_a_jump_exist() -> None:
    lisbon, day = ZoneInfo("Europe/Lisbon"), dt.date(2027, 3, 28)
    assert to_utc(day, dt.time(0, 59), lisbon) == dt.datetime(2027, 3, 28, 0, 59, tzinfo=dt.UTC)
    assert to_utc(day, dt.time(2, 0), lisbon) == dt.datetime(2027, 3, 28, 1, 0, tzinfo=dt.UTC)


def test_a_time_that_comes_twice_means_the_first_one() -> None:
    # RFC 5545 section 3.3.5, with its own example: 01:30 on 4 November 2007 in New York is EDT.
    new_york, day = ZoneInfo("America/New_York"), dt.date(2007, 11, 4)
    assert comes_twice(day, dt.time(1, 30), new_york)
    assert not comes_twice(day, dt.time(2, 0), new_york)
    assert to_utc(day, dt.time(1, 30), new_york) == dt.datetime(2007, 11, 4, 5, 30, tzinfo=dt.UTC)


@given(
    st.sampled_from(ZONES),
    st.dates(dt.date(2020, 1, 1), dt.date(2036, 12, 31)),
    st.times().map(lambda time: time.replace(microsecond=0)),
)
def test_every_time_is_either_refused_or_comes_back_unchanged(
    zone_name: str, day: dt.date, time: dt.time
) -> None:
    zone = ZoneInfo(zone_name)
    refused = None
    try:
        instant = to_utc(day, time, zone)
    except NoSuchTimeError as reason:
        refused = reason
    if refused is None:
        assert to_wall(instant, zone) == (day, time)
    else:
        assert refused.jump_from.time() <= time < refused.jump_to.time()

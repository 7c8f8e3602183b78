import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Event
from icalendar.prop import vText

from studio.dates.ical import MOST_OCTETS, fold, text, utc


def test_the_example_of_folding_and_escaping() -> None:
    # RFC 5545 sections 3.1 and 3.3.11; the escaped line was read back with icalendar 7.3.2.
    value = (
        "Lesson; bring Kreutzer, no. 2\nPath C:\\music: ends 17:00 — étude, Dvořák, Küchler, "
        "Fauré; “sul ponticello” ♯♭"
    )
    escaped = (
        "Lesson\\; bring Kreutzer\\, no. 2\\nPath C:\\\\music: ends 17:00 — étude\\, Dvořák\\, "
        "Küchler\\, Fauré\\; “sul ponticello” ♯♭"
    )
    assert text(value) == escaped
    folded = fold(f"SUMMARY:{escaped}")
    assert folded.endswith("\r\n")
    lines = folded.split("\r\n")[:-1]
    assert len(lines) == 2
    assert all(len(line.encode()) <= MOST_OCTETS for line in lines)
    assert folded.replace("\r\n ", "") == f"SUMMARY:{escaped}\r\n"


written = st.text(st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"]), max_size=300)


@given(written)
def test_what_is_written_is_what_icalendar_reads(value: str) -> None:
    folded = fold(f"SUMMARY:{text(value)}")
    assert all(len(line.encode()) <= MOST_OCTETS for line in folded.split("\r\n"))
    stream = f"BEGIN:VEVENT\r\n{folded}END:VEVENT\r\n"
    assert str(Event.from_ical(stream)["SUMMARY"]) == value


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=80))
def test_no_value_can_begin_a_line_of_its_own(value: str) -> None:
    line = fold(f"SUMMARY:{text(value)}")
    assert len(line.replace("\r\n ", "").splitlines()) == 1


@given(written)
def test_escaping_agrees_with_icalendar(value: str) -> None:
    assert text(value).encode() == vText(value).to_ical()


@pytest.mark.parametrize("hours", [0, -3, 9])
def test_an_instant_is_stamped_in_utc(hours: int) -> None:
    zone = dt.timezone(dt.timedelta(hours=hours))
    noon = dt.datetime(2026, 11, 25, 12, 0, 5, tzinfo=dt.UTC)
    assert utc(noon.astimezone(zone)) == "20261125T120005Z"

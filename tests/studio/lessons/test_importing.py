import datetime as dt
import json
import time
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from studio.lessons.importing import MOST_TIMES, UnreadableCalendar, read

DATA = Path(__file__).parents[2] / "data"
LISBON = ZoneInfo("Europe/Lisbon")
FIRST, LAST = dt.date(2026, 11, 25), dt.date(2027, 11, 25)
RFC_EXAMPLES: list[dict[str, Any]] = json.loads((DATA / "rrule_examples.json").read_text())[
    "examples"
]


def calendar(*lines: str, start: str = "DTSTART:20261201T190000Z") -> bytes:
    event = ["BEGIN:VEVENT", "UID:1", "DTSTAMP:20261101T000000Z", start, *lines, "END:VEVENT"]
    return "\r\n".join(["BEGIN:VCALENDAR", "VERSION:2.0", *event, "END:VCALENDAR", ""]).encode()


def starts(content: bytes, first: dt.date = FIRST, last: dt.date = LAST) -> list[str]:
    reading = read(content, first, last, LISBON)
    return [f"{time.starts:%Y-%m-%dT%H:%M}" for event in reading.events for time in event.times]


@pytest.mark.parametrize("example", RFC_EXAMPLES, ids=lambda example: example["id"])
def test_the_rules_of_rfc_5545_fall_on_the_dates_it_gives(example: dict[str, Any]) -> None:
    zone = ZoneInfo(example["tzid"])
    tzid = f"TZID={example['tzid']}"
    content = calendar(
        "DURATION:PT45M",
        f"RRULE:{example['rrule']}",
        *(f"EXDATE;{tzid}:{day}" for day in example["exdate"]),
        start=f"DTSTART;{tzid}:{example['dtstart']}",
    )
    last = dt.date.fromisoformat(example["dates"][-1])
    (event,) = read(content, dt.date(1997, 1, 1), last, zone).events
    local = [time.starts.astimezone(zone) for time in event.times]
    assert [f"{moment:%Y-%m-%d}" for moment in local] == example["dates"]
    # Recurrences keep their wall time through clock changes (section 3.8.5.3).
    assert {f"{moment:%H%M%S}" for moment in local} == {example["dtstart"][9:]}


@pytest.mark.parametrize(
    ("name", "count"), [("weekly_count10", 10), ("friday_13_exdate", 3), ("bysetpos_minus2", 16)]
)
def test_files_with_their_own_time_zone_rules(name: str, count: int) -> None:
    new_york = ZoneInfo("America/New_York")
    content = (DATA / f"{name}.ics").read_bytes()
    (event,) = read(content, dt.date(1997, 1, 1), dt.date(1998, 12, 31), new_york).events
    assert len(event.times) == count
    assert {f"{time.starts.astimezone(new_york):%H:%M}" for time in event.times} == {"09:00"}


def test_a_cancelled_occurrence_leaves_her_free() -> None:
    content = (DATA / "cancel_one_occurrence.ics").read_bytes()
    found = starts(content, dt.date(1997, 1, 1), dt.date(1998, 12, 31))
    assert len(found) == 9
    assert not any(start.startswith("1997-09-16") for start in found)


@pytest.mark.parametrize("line", ["STATUS:CANCELLED", "TRANSP:TRANSPARENT"])
def test_what_takes_no_time_is_left_out(line: str) -> None:
    assert starts(calendar("DTEND:20261201T200000Z", line)) == []


def test_times_without_a_zone_and_whole_days_are_on_the_studios_clock() -> None:
    floating = calendar("DURATION:PT1H", start="DTSTART:20270701T190000")
    assert starts(floating) == ["2027-07-01T18:00"]
    reading = read(calendar(start="DTSTART;VALUE=DATE:20270701"), FIRST, LAST, LISBON)
    (event,) = reading.events
    assert event.all_day
    assert event.times[0].starts == dt.datetime(2027, 6, 30, 23, tzinfo=dt.UTC)
    assert event.times[0].ends == dt.datetime(2027, 7, 1, 23, tzinfo=dt.UTC)


def test_only_the_window_is_read() -> None:
    weekly = calendar("DURATION:PT1H", "RRULE:FREQ=WEEKLY", start="DTSTART:20200101T190000Z")
    found = starts(weekly, FIRST, dt.date(2026, 12, 9))
    assert found == ["2026-11-25T19:00", "2026-12-02T19:00", "2026-12-09T19:00"]


@pytest.mark.parametrize(
    ("rule", "start"),
    [
        ("FREQ=DAILY", "DTSTART:19000101T090000Z"),
        ("FREQ=DAILY", "DTSTART;VALUE=DATE:20200101"),
        ("FREQ=DAILY", "DTSTART:20200101T090000"),
        ("FREQ=DAILY;UNTIL=99991231T000000Z", "DTSTART:20200101T090000Z"),
    ],
)
def test_a_rule_that_never_ends_ends_with_the_window(rule: str, start: str) -> None:
    began = time.monotonic()
    assert len(starts(calendar("DURATION:PT1H", f"RRULE:{rule}", start=start))) == 366
    assert time.monotonic() - began < 5


@pytest.mark.parametrize(
    ("lines", "reason"),
    [
        (["RRULE:FREQ=SECONDLY"], "it repeats within a day (FREQ=SECONDLY)."),
        (["RRULE:FREQ=MINUTELY;COUNT=9"], "it repeats within a day (FREQ=MINUTELY)."),
        (["RRULE:FREQ=DAILY;BYHOUR=1,2;BYMINUTE=3"], "it repeats within a day (FREQ=DAILY)."),
        (["RRULE:FREQ=WEEKLY;INTERVAL=0"], "it repeats every 0 days or weeks."),
        (["RRULE:FREQ=NEVER"], "its dates or its rule cannot be read."),
    ],
)
def test_an_event_that_cannot_be_used_is_left_out_with_the_reason(
    lines: list[str], reason: str
) -> None:
    content = calendar("SUMMARY:Odd", "DURATION:PT1H", *lines)
    reading = read(content, FIRST, LAST, LISBON)
    assert (reading.events, reading.left_out) == ([], [f"Odd: {reason}"])


def test_an_event_without_a_start_or_with_its_end_first_brings_no_time() -> None:
    for content, reason in [
        (calendar("SUMMARY:Odd", "DTEND:20261130T190000Z"), "it ends before it starts."),
        (calendar("SUMMARY:Odd", start="COMMENT:none"), "it has no start."),
    ]:
        assert read(content, FIRST, LAST, LISBON).left_out == [f"Odd: {reason}"]


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", "no calendar file"),
        (b"hello", "no calendar file"),
        (b"\xff\xfe\x00", "no text in UTF-8"),
        (b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT\r\n", "damaged or cut off"),
        (b"x" * (5 * 1024 * 1024), "at most 4 MB can be taken"),
    ],
)
def test_what_is_no_calendar_is_refused(content: bytes, reason: str) -> None:
    with pytest.raises(UnreadableCalendar, match=reason):
        read(content, FIRST, LAST, LISBON)


def test_a_file_of_several_calendars_is_read_whole() -> None:
    both = calendar("DURATION:PT1H") + calendar(start="DTSTART:20261203T190000Z").replace(
        b"UID:1", b"UID:2\r\nDURATION:PT1H"
    )
    assert len(starts(both)) == 2


def with_own_zone(ahead: str, rule: str = "RRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=-1SU") -> bytes:
    """An event at seven of a zone that the file brings, under a name that many files give."""
    zone = ["BEGIN:VTIMEZONE", "TZID:Customized Time Zone"]
    for part in ("STANDARD", "DAYLIGHT"):
        zone += [f"BEGIN:{part}", "DTSTART:19700101T000000", f"TZOFFSETFROM:{ahead}"]
        zone += [f"TZOFFSETTO:{ahead}", rule, f"END:{part}"]
    event = calendar("DURATION:PT1H", start="DTSTART;TZID=Customized Time Zone:20261201T190000")
    return event.replace(
        b"BEGIN:VEVENT", "\r\n".join([*zone, "END:VTIMEZONE", ""]).encode() + b"BEGIN:VEVENT"
    )


@pytest.mark.parametrize(
    "rule",
    [
        "RRULE:FREQ=SECONDLY",
        "RRULE:FREQ=HOURLY;COUNT=900000000",
        "RRULE:FREQ=YEARLY;BYHOUR=0,1,2;BYMINUTE=0,1,2;BYSECOND=0,1,2",
        "RRULE:FREQ=YEARLY;INTERVAL=0",
        "RRULE:FREQ=YEARLY\r\nRRULE:FREQ=MINUTELY",
    ],
)
def test_a_zone_whose_clock_is_changed_all_day_is_refused_at_once(rule: str) -> None:
    """Its changes since 1970 would be followed one by one, for hours."""
    before = time.monotonic()
    with pytest.raises(UnreadableCalendar, match="more often than by the year"):
        read(with_own_zone("+0100", rule), FIRST, LAST, LISBON)
    assert time.monotonic() - before < 5


def test_a_zone_of_another_file_is_not_remembered() -> None:
    assert starts(with_own_zone("+0100")) == ["2026-12-01T18:00"]
    assert starts(with_own_zone("-0500")) == ["2026-12-02T00:00"]
    assert starts(with_own_zone("+0100")) == ["2026-12-01T18:00"]


def test_more_times_than_anybody_has_are_refused() -> None:
    rows = [
        f"BEGIN:VEVENT\r\nUID:{n}\r\nDTSTART:20261201T{n:02}0000Z\r\nDURATION:PT30M\r\n"
        "RRULE:FREQ=DAILY\r\nEND:VEVENT"
        for n in range(10)
    ]
    content = "\r\n".join(["BEGIN:VCALENDAR", *rows, "END:VCALENDAR"]).encode()
    with pytest.raises(UnreadableCalendar, match=f"more than {MOST_TIMES} busy times"):
        read(content, FIRST, LAST, LISBON)


def test_names_are_shortened_to_one_line() -> None:
    (event,) = read(
        calendar(f"SUMMARY:A\\nB {'x' * 300}", "DURATION:PT1H"), FIRST, LAST, LISBON
    ).events
    assert event.what.startswith("A B xxx")
    assert len(event.what) == 120

"""Busy times out of a calendar file. Reads and expands within bounds; changes nothing."""

from __future__ import annotations

import datetime as dt
import threading
import time
from collections import defaultdict
from dataclasses import dataclass
from typing import Any

import recurring_ical_events
from django.utils.translation import gettext as _
from icalendar import Calendar, Component, Event
from icalendar.timezone import tzp

from studio.dates.zones import NoSuchTimeError, to_utc
from studio.web.days import long_day

LARGEST_FILE = 4 * 1024 * 1024
MOST_EVENTS = 5_000
MOST_TIMES = 3_000
MOST_SECONDS = 15  # a rule that names no day that exists is searched to the year 9999
# Rules that repeat within a day describe machines, not a teacher's week.
DAILY_OR_RARER = {"DAILY", "WEEKLY", "MONTHLY", "YEARLY"}
WITHIN_A_DAY = ("BYHOUR", "BYMINUTE", "BYSECOND")
# The library keeps the zones that files bring, by name, for whoever reads next.
_ONE_FILE = threading.Lock()


# What the two libraries raise for values that are no dates, rules or zones.
UNREADABLE = (ValueError, TypeError, KeyError, AttributeError, IndexError, OverflowError)


class UnreadableCalendar(ValueError):
    """The file is no calendar we can take; the message says why and names the value."""


class NotUsable(ValueError):
    """One event that is left out, with the reason."""


@dataclass(frozen=True)
class Time:
    """One busy stretch, as aware instants."""

    starts: dt.datetime
    ends: dt.datetime


@dataclass(frozen=True)
class BusyEvent:
    """One event of the file with all its times inside the window."""

    uid: str
    what: str
    all_day: bool
    times: tuple[Time, ...]


@dataclass(frozen=True)
class Reading:
    """What the file holds for the window, and what of it was left out and why."""

    events: list[BusyEvent]
    left_out: list[str]


def read(content: bytes, first: dt.date, last: dt.date, zone: dt.tzinfo) -> Reading:
    """Busy times from the first to the last day, both included, on the clock of `zone`.

    Raises UnreadableCalendar. Times without a zone, and whole days, are on that clock too.
    """
    if len(content) > LARGEST_FILE:
        words = _(
            "The file has {size} MB; at most 4 MB can be taken. "
            "Export a single calendar, or fewer years of it."
        )
        raise UnreadableCalendar(words.format(size=f"{len(content) / 1024 / 1024:.0f}"))
    window = (
        dt.datetime.combine(first, dt.time(), tzinfo=zone),
        dt.datetime.combine(last + dt.timedelta(days=1), dt.time(), tzinfo=zone),
    )
    busy, left_out, count = [], [], 0
    give_up = time.monotonic() + MOST_SECONDS
    for uid, events in _by_uid(_parsed(content)).items():
        try:
            event = _busy_event(uid, events, window, zone)
        except NotUsable as reason:
            left_out.append(f"{_name(events[0])}: {reason}")
            continue
        except UNREADABLE:
            words = _("{event}: its dates or its rule cannot be read.")
            left_out.append(words.format(event=_name(events[0])))
            continue
        count += len(event.times)
        if count > MOST_TIMES or time.monotonic() > give_up:
            words = _(
                "The file has more than {n} busy times up to {day}, or rules that take "
                "too long to follow. Export less of it."
            )
            raise UnreadableCalendar(words.format(n=MOST_TIMES, day=long_day(last)))
        if event.times:
            busy.append(event)
    return Reading(busy, left_out)


def _busy_event(
    uid: str, events: list[Event], window: tuple[dt.datetime, dt.datetime], zone: dt.tzinfo
) -> BusyEvent:
    """One event with its exceptions, expanded inside the window. Raises one of UNREADABLE."""
    series = Calendar()
    for event in events:
        _check(event)
        _end_rule(event, window[1])
        series.add_component(event)
    found = []
    for event in recurring_ical_events.of(series).between(*window):
        if _takes_time(event):
            found.append(
                Time(
                    _instant(event.decoded("DTSTART"), zone), _instant(event.decoded("DTEND"), zone)
                )
            )
    times = sorted({one for one in found if one.ends > one.starts}, key=lambda one: one.starts)
    all_day = not isinstance(events[0].decoded("DTSTART"), dt.datetime)
    return BusyEvent(uid, _name(events[0]), all_day, tuple(times))


def _parsed(content: bytes) -> list[Event]:
    """Every event of the file, which may hold several calendars."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        words = _("This is no text in UTF-8: {reason}.")
        raise UnreadableCalendar(words.format(reason=error.reason)) from error
    if "BEGIN:VCALENDAR" not in text[:2000].upper():
        raise UnreadableCalendar(_("This is no calendar file: it does not begin with VCALENDAR."))
    try:
        with _ONE_FILE:
            tzp.use_default()  # forgets the zones of earlier files
            calendars = Calendar.from_ical(text, multiple=True)
    except UNREADABLE as error:
        raise UnreadableCalendar(_("The file is damaged or cut off.")) from error
    for calendar in calendars:
        _check_zones(calendar)
    events = [
        part
        for calendar in calendars
        for part in calendar.walk("VEVENT")
        if isinstance(part, Event)
    ]
    if not calendars:
        raise UnreadableCalendar(_("The file is damaged or cut off."))
    if len(events) > MOST_EVENTS:
        words = _("The file has {n} events; at most {most} can be taken.")
        raise UnreadableCalendar(words.format(n=len(events), most=MOST_EVENTS))
    return events


def _by_uid(events: list[Event]) -> dict[str, list[Event]]:
    """Events and their exceptions under one identity each; the event itself comes first."""
    found: defaultdict[str, list[Event]] = defaultdict(list)
    for number, event in enumerate(events):
        found[str(event.get("UID", f"without-identity-{number}"))].append(event)
    for series in found.values():
        series.sort(key=lambda event: "RECURRENCE-ID" in event)
    return found


def _check(event: Event) -> None:
    if "DTSTART" not in event:
        raise NotUsable(_("it has no start."))
    if "DTEND" in event and event.decoded("DTEND") < event.decoded("DTSTART"):
        raise NotUsable(_("it ends before it starts."))
    for rule in _rules(event):
        frequency = str(rule.get("FREQ", [""])[0]).upper()
        if frequency not in DAILY_OR_RARER or any(part in rule for part in WITHIN_A_DAY):
            words = _("it repeats within a day (FREQ={frequency}).")
            raise NotUsable(words.format(frequency=frequency))
        if rule.get("INTERVAL", [1])[0] < 1:
            words = _("it repeats every {n} days or weeks.")
            raise NotUsable(words.format(n=rule["INTERVAL"][0]))


def _check_zones(calendar: Component) -> None:
    """A zone's clock is changed by rules too, each followed from its first year to every event."""
    for part in (*calendar.walk("STANDARD"), *calendar.walk("DAYLIGHT")):
        for rule in _rules(part):
            frequency = str(rule.get("FREQ", [""])[0]).upper()
            often = frequency != "YEARLY" or any(name in rule for name in WITHIN_A_DAY)
            if often or rule.get("INTERVAL", [1])[0] < 1:
                words = _("The file’s own time zone changes more often than by the year ({rule}).")
                raise UnreadableCalendar(words.format(rule=rule.to_ical().decode()[:60]))


def _rules(event: Component) -> list[Any]:
    rules = event.get("RRULE", [])
    return rules if isinstance(rules, list) else [rules]


def _end_rule(event: Event, end: dt.datetime) -> None:
    """A rule that never ends, or only after the window, ends with the window."""
    start = event.decoded("DTSTART")
    for rule in _rules(event):
        if "COUNT" in rule:
            continue
        if not isinstance(start, dt.datetime):
            limit: dt.date = end.date()
        else:
            limit = end if start.tzinfo is not None else end.replace(tzinfo=None)
        until = rule.get("UNTIL", [None])[0]
        if until is None or _day(until) > _day(limit):
            rule["UNTIL"] = [limit]


def _day(moment: dt.date) -> dt.date:
    return moment.date() if isinstance(moment, dt.datetime) else moment


def _takes_time(event: Event) -> bool:
    """Cancelled and transparent events leave the teacher free."""
    cancelled = str(event.get("STATUS", "")).upper() == "CANCELLED"
    return not cancelled and str(event.get("TRANSP", "")).upper() != "TRANSPARENT"


def _instant(moment: dt.date, zone: dt.tzinfo) -> dt.datetime:
    """RFC 5545: a floating time is on the reader's clock; one in a gap means the time after it."""
    if not isinstance(moment, dt.datetime):
        moment = dt.datetime.combine(moment, dt.time())
    if moment.tzinfo is not None:
        return moment.astimezone(dt.UTC)
    try:
        return to_utc(moment.date(), moment.time(), zone)
    except NoSuchTimeError:
        return moment.replace(tzinfo=zone).astimezone(dt.UTC)


def _name(event: Event) -> str:
    words = " ".join(str(event.get("SUMMARY", "")).split())
    return words[:120] or _("Without a name")

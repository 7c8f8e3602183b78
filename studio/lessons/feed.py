"""Lessons as an iCalendar stream: one VEVENT a lesson, instants in UTC, no VTIMEZONE.

RFC 5545 for the stream, RFC 7986 for NAME, COLOR, SOURCE and REFRESH-INTERVAL.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections import Counter
from collections.abc import Iterable
from zoneinfo import ZoneInfo

from django.db.models import Count, Max, QuerySet

from studio.access.models import Studio
from studio.dates.ical import fold, text, utc
from studio.lessons.models import Lesson
from studio.people.models import Family, Student

MEDIA_TYPE = "text/calendar; charset=utf-8"
REFRESH = "PT6H"
COLOUR = "saddlebrown"  # a CSS3 name, as RFC 7986 section 5.9 asks
PRODID = "-//studio manager//lessons//EN"
_VERSION = "1"  # rises when the stream is written differently, so that no copy counts as fresh
_BACK = dt.timedelta(days=3 * 366)
CANCELLED = {Lesson.Status.CANCELLED_BY_FAMILY, Lesson.Status.CANCELLED_BY_TEACHER}


def family_lessons(family: Family, today: dt.date) -> QuerySet[Lesson]:
    return Lesson.objects.filter(student__family=family, date__gte=today - _BACK)


def studio_lessons(studio: Studio, today: dt.date) -> QuerySet[Lesson]:
    return Lesson.objects.of(studio).filter(date__gte=today - _BACK)


def shown_names(students: Iterable[Student]) -> dict[int, str]:
    """Given names by student id; two of the same name get the initial of the family name."""
    known = list(students)
    count = Counter(student.given_name for student in known)
    return {
        student.pk: student.given_name
        if count[student.given_name] == 1 or not student.family_name
        else f"{student.given_name} {student.family_name[0]}."
        for student in known
    }


def etag(studio: Studio, lessons: QuerySet[Lesson], names: dict[int, str], source: str = "") -> str:
    """Changes whenever the stream would; costs one query."""
    facts = lessons.order_by().aggregate(Count("pk"), Max("changed"), Max("pk"))
    seen = (_VERSION, studio.name, studio.teacher, studio.zone, source, sorted(names.items()))
    return f'"{hashlib.sha256(repr((seen, sorted(facts.items()))).encode()).hexdigest()[:32]}"'


def stream(
    studio: Studio, name: str, lessons: Iterable[Lesson], names: dict[int, str], source: str = ""
) -> bytes:
    """The whole calendar in CRLF lines of UTF-8."""
    zone = ZoneInfo(studio.zone)
    lines = [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        f"PRODID:{PRODID}",
        "CALSCALE:GREGORIAN",
        f"NAME:{text(name)}",
        f"X-WR-CALNAME:{text(name)}",
        f"COLOR:{COLOUR}",
        f"REFRESH-INTERVAL;VALUE=DURATION:{REFRESH}",
    ]
    if source:
        lines.append(f"SOURCE;VALUE=URI:{source}")
    for lesson in lessons:
        lines += _event(lesson, zone, names.get(lesson.student_id, ""))
    lines.append("END:VCALENDAR")
    return "".join(map(fold, lines)).encode()


def _event(lesson: Lesson, zone: ZoneInfo, student: str) -> list[str]:
    begins = lesson.begins(zone)
    ends = begins + dt.timedelta(minutes=lesson.minutes)
    out = lesson.status in CANCELLED
    title = "Make-up violin lesson" if lesson.makes_up_id else "Violin lesson"
    summary = f"{'Cancelled: ' if out else ''}{title}, {student}"
    changed = utc(lesson.changed)
    lines = [
        "BEGIN:VEVENT",
        f"UID:{lesson.uid}",
        f"DTSTAMP:{changed}",
        f"LAST-MODIFIED:{changed}",
        f"SEQUENCE:{lesson.sequence}",
        f"DTSTART:{utc(begins)}",
        f"DTEND:{utc(ends)}",
        f"STATUS:{'CANCELLED' if out else 'CONFIRMED'}",
        f"TRANSP:{'TRANSPARENT' if out else 'OPAQUE'}",
        f"SUMMARY:{text(summary)}",
    ]
    if lesson.place:
        lines.append(f"LOCATION:{text(lesson.place)}")
    if lesson.link:
        lines.append(f"URL:{lesson.link}")
    return [*lines, "END:VEVENT"]

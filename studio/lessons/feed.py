"""Lessons as an iCalendar stream: one VEVENT a lesson, instants in UTC, no VTIMEZONE.

RFC 5545 for the stream, RFC 7986 for NAME, COLOR, SOURCE and REFRESH-INTERVAL.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections import Counter
from collections.abc import Iterable
from functools import lru_cache
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


_WRITTEN = (
    *("student_id", "date", "starts", "minutes", "place", "link", "status", "makes_up_id"),
    *("zone", "uid", "sequence", "changed"),
)


def family_lessons(family: Family, today: dt.date) -> QuerySet[Lesson]:
    """Lessons of three years and all to come, with no more columns than are written."""
    since = today - _BACK
    return Lesson.objects.filter(student__family=family, date__gte=since).only(*_WRITTEN)


def studio_lessons(studio: Studio, today: dt.date) -> QuerySet[Lesson]:
    return Lesson.objects.of(studio).filter(date__gte=today - _BACK).only(*_WRITTEN)


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
    head = "".join(map(fold, lines))
    events = (_event(lesson, zone, names.get(lesson.student_id, "")) for lesson in lessons)
    return f"{head}{''.join(events)}{fold('END:VCALENDAR')}".encode()


@lru_cache(maxsize=512)
def _text_line(name: str, value: str) -> str:
    """Names and places are few, and each stands at many lessons."""
    return fold(f"{name}:{text(value)}")


def _event(lesson: Lesson, zone: ZoneInfo, student: str) -> str:
    begins = lesson.begins(zone)
    ends = begins + dt.timedelta(minutes=lesson.minutes)
    out = lesson.status in CANCELLED
    title = "Make-up violin lesson" if lesson.makes_up_id else "Violin lesson"
    changed = utc(lesson.changed)
    # All of these are short and of ASCII, so only the texts below can need a fold.
    fixed = (
        f"BEGIN:VEVENT\r\nUID:{lesson.uid}\r\n"
        f"DTSTAMP:{changed}\r\nLAST-MODIFIED:{changed}\r\nSEQUENCE:{lesson.sequence}\r\n"
        f"DTSTART:{utc(begins)}\r\nDTEND:{utc(ends)}\r\n"
        f"STATUS:{'CANCELLED' if out else 'CONFIRMED'}\r\n"
        f"TRANSP:{'TRANSPARENT' if out else 'OPAQUE'}\r\n"
    )
    texts = _text_line("SUMMARY", f"{'Cancelled: ' if out else ''}{title}, {student}")
    if lesson.place:
        texts += _text_line("LOCATION", lesson.place)
    if lesson.link:
        texts += fold(f"URL:{''.join(lesson.link.split())}")
    return f"{fixed}{texts}END:VEVENT\r\n"

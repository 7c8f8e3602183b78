"""Lessons and recitals as an iCalendar stream: one VEVENT each, instants in UTC, no VTIMEZONE.

RFC 5545 for the stream, RFC 7986 for NAME, COLOR, SOURCE and REFRESH-INTERVAL.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections import Counter
from collections.abc import Iterable
from functools import lru_cache
from zoneinfo import ZoneInfo

from django.db.models import Count, Max, QuerySet, Sum
from django.utils.translation import gettext as _

from studio.access.models import Studio
from studio.dates.ical import fold, text, utc
from studio.lessons.models import Lesson
from studio.people.models import Family, Student
from studio.terms.models import Recital

MEDIA_TYPE = "text/calendar; charset=utf-8"
REFRESH = "PT6H"
COLOUR = "saddlebrown"  # a CSS3 name, as RFC 7986 section 5.9 asks
PRODID = "-//studio manager//lessons//EN"  # no words: a name for programs
_VERSION = "3"  # rises when the stream is written differently, so that no copy counts as fresh
_BACK = dt.timedelta(days=3 * 366)
CANCELLED = {Lesson.Status.CANCELLED_BY_FAMILY, Lesson.Status.CANCELLED_BY_TEACHER}


_COLUMNS = (
    *("student_id", "date", "starts", "minutes", "place", "link", "status", "makes_up_id"),
    *("zone", "uid", "sequence", "changed"),
)


def family_lessons(family: Family, today: dt.date) -> QuerySet[Lesson]:
    """Lessons of three years and all to come, with no more columns than are written."""
    since = today - _BACK
    return Lesson.objects.filter(student__family=family, date__gte=since).only(*_COLUMNS)


def studio_lessons(studio: Studio, today: dt.date) -> QuerySet[Lesson]:
    return Lesson.objects.of(studio).filter(date__gte=today - _BACK).only(*_COLUMNS)


def family_recitals(family: Family, today: dt.date) -> list[Recital]:
    return list(Recital.objects.for_family(family).filter(date__gte=today - _BACK))


def studio_recitals(studio: Studio, today: dt.date) -> list[Recital]:
    return list(Recital.objects.of(studio).filter(date__gte=today - _BACK))


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


def etag(
    studio: Studio,
    lessons: QuerySet[Lesson],
    names: dict[int, str],
    source: str = "",
    recitals: Iterable[Recital] = (),
) -> str:
    """Changes whenever the stream would, also when the clock was set back; costs one query."""
    facts = lessons.order_by().aggregate(Count("pk"), Max("pk"), Max("changed"), Sum("sequence"))
    concerts = [(each.pk, each.changed) for each in recitals]
    seen = (
        *(_VERSION, studio.name, studio.teacher, studio.zone, studio.locale, source),
        *(sorted(names.items()), concerts, sorted(facts.items())),
    )
    return f'"{hashlib.sha256(repr(seen).encode()).hexdigest()[:32]}"'


def stream(
    studio: Studio,
    name: str,
    lessons: Iterable[Lesson],
    names: dict[int, str],
    source: str = "",
    recitals: Iterable[Recital] = (),
) -> bytes:
    """The whole calendar in CRLF lines of UTF-8, in the language spoken now."""
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
    events = [_event(lesson, zone, names.get(lesson.student_id, "")) for lesson in lessons]
    events += [_recital(each, zone) for each in recitals]
    return f"{head}{''.join(events)}{fold('END:VCALENDAR')}".encode()


@lru_cache(maxsize=512)
def _text_line(name: str, value: str) -> str:
    """Names and places are few, and each stands at many lessons."""
    return fold(f"{name}:{text(value)}")


def _event(lesson: Lesson, zone: ZoneInfo, student: str) -> str:
    title = _("Make-up violin lesson, {name}") if lesson.makes_up_id else _("Violin lesson, {name}")
    out = lesson.status in CANCELLED
    return _written(lesson, zone, title.format(name=student), out, lesson.link)


def _recital(recital: Recital, zone: ZoneInfo) -> str:
    return _written(recital, zone, recital.name, recital.called_off)


def _written(event: Lesson | Recital, zone: ZoneInfo, title: str, out: bool, link: str = "") -> str:
    begins = event.begins(zone)
    ends = begins + dt.timedelta(minutes=event.minutes)
    changed = utc(event.changed)
    # All of these are short and of ASCII, so only the texts below can need a fold.
    fixed = (
        f"BEGIN:VEVENT\r\nUID:{event.uid}\r\n"
        f"DTSTAMP:{changed}\r\nLAST-MODIFIED:{changed}\r\nSEQUENCE:{event.sequence}\r\n"
        f"DTSTART:{utc(begins)}\r\nDTEND:{utc(ends)}\r\n"
        f"STATUS:{'CANCELLED' if out else 'CONFIRMED'}\r\n"
        f"TRANSP:{'TRANSPARENT' if out else 'OPAQUE'}\r\n"
    )
    summary = _("Cancelled: {title}").format(title=title) if out else title
    texts = _text_line("SUMMARY", summary)
    if event.place:
        texts += _text_line("LOCATION", event.place)
    if link:
        texts += fold(f"URL:{''.join(link.split())}")
    return f"{fixed}{texts}END:VEVENT\r\n"

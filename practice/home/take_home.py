"""The week as one HTML file that needs no network, and the log file it gives back.

The file is made of the home page's own templates, styles and scripts; take_home.js takes the place
of home_send.js. It writes a log, a JSON file of two members:

    {"log": "<text>", "sha256": "<hex SHA-256 of that text in UTF-8>"}

The text is JSON itself, kept as text so that the checksum covers its very characters:

    {"format": "practice-log", "version": 1, "sheet": "<signed by this installation>",
     "messages": [{"key": "<32 hex digits>", "at": <ms since 1970>, "day": "2026-11-25",
                   "word": "", "ticks": [{"item": 7, "done": true, "minutes": null,
                                          "tempo": 66}]}]}

Of a tick's members but `item` only those are there that were changed; `minutes` null: as planned.
A log holds everything ticked in its file so far. Each message counts once, by its key.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import uuid
from dataclasses import dataclass
from typing import Any
from urllib.parse import parse_qsl, unquote

from django.conf import settings
from django.core import signing
from django.template.loader import render_to_string
from django.utils.safestring import SafeString
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from practice.engraving.pictures import notes_for_the_ear
from practice.engraving.spec import parse_address
from practice.home.day import HomeDay, home_day, starts_of
from practice.home.faces import faces_for
from practice.home.forms import UNREADABLE, tick_from, ticks_from
from practice.home.week import HomeWeek, home_week
from practice.logs.record import Message, NotTaken
from practice.plans.models import Assignment
from studio.access.models import Studio
from studio.people.models import Student
from studio.web.speaking import speaking

FORMAT, VERSION = "practice-log", 1
MOST_BYTES = 1_000_000
MOST_MESSAGES = 2000
_SALT = "practice.home.take_home"
STYLES = ("tokens", "home", "playalong")
SCRIPTS = ("playalong", "home", "take_home")


@dataclass(frozen=True)
class InFile:
    """What stands in for a visit by link: there is no address to send to."""

    studio: Studio


@dataclass(frozen=True)
class Page:
    date: dt.date
    html: SafeString


@dataclass(frozen=True)
class Log:
    """A log that is whole and was written for a sheet of this installation."""

    assignment: int
    messages: tuple[Message, ...]


def take_home_file(assignment: Assignment, today: dt.date) -> str:
    """The whole file as text, in the studio's language. Days to come open too; they are ticked when
    they are there."""
    with speaking(assignment.student.family.studio):
        return _file(assignment, today)


def _file(assignment: Assignment, today: dt.date) -> str:
    student = assignment.student
    studio = student.family.studio
    starts = starts_of(assignment)
    week = home_week(assignment, today)
    days = [home_day(student, assignment, each.date, starts) for each in week.days]
    pages = [Page(day.date, _page(student, week, day)) for day in days]
    context = {
        "student": student,
        "sheet": signing.dumps({"week": assignment.pk}, salt=_SALT),
        "file_name": file_name(assignment),
        "pages": pages,
        "pictures": _pictures(days, studio.a4_hz),
        "scripts": [_static(f"js/{name}.js") for name in SCRIPTS],
    }
    text = "".join(page.html for page in pages)
    styles = [faces_for(text), *(_static(f"css/{name}.css") for name in STYLES)]
    return render_to_string("home/take_home.html", context | {"style": SafeString("".join(styles))})


def file_name(assignment: Assignment) -> str:
    """ "imani-2026-11-26"."""
    name = slugify(assignment.student.given_name) or pgettext("file name", "practice")
    return f"{name}-{assignment.starts}"


def read_log(content: bytes, now: dt.datetime) -> Log:
    """Raises NotTaken with the reason when the file is no log, damaged, or made elsewhere."""
    if len(content) > MOST_BYTES:
        raise NotTaken(_("This file is too large for a practice log."))
    try:
        outer = json.loads(content)
        text, checksum = outer["log"], outer["sha256"]
        whole = hashlib.sha256(text.encode()).hexdigest() == checksum
        inner = json.loads(text) if whole else {}
    except UNREADABLE as error:
        raise NotTaken(_("This file is no practice log.")) from error
    if not whole:
        raise NotTaken(_("This log is damaged or was changed. Ask home to write it again."))
    if not isinstance(inner, dict) or inner.get("format") != FORMAT:
        raise NotTaken(_("This file is no practice log."))
    if inner.get("version") != VERSION:
        version = f"{inner.get('version')!s:.10}"
        sentence = _("This log is of version {version}; {known} is read.")
        raise NotTaken(sentence.format(version=version, known=VERSION))
    try:
        week = signing.loads(str(inner.get("sheet", "")), salt=_SALT)["week"]
    except signing.BadSignature as error:
        raise NotTaken(_("This log belongs to a sheet that is not in your studio.")) from error
    try:
        found = inner["messages"]
        if len(found) > MOST_MESSAGES:
            sentence = _("This log has {n} messages; {most} find room.")
            raise NotTaken(sentence.format(n=len(found), most=MOST_MESSAGES))
        return Log(week, tuple(_message(each, now) for each in found))
    except NotTaken:
        raise
    except UNREADABLE as error:
        raise NotTaken(_("This log cannot be read. Ask home to write it again.")) from error


def _message(data: dict[str, Any], now: dt.datetime) -> Message:
    at = min(dt.datetime.fromtimestamp(data["at"] / 1000, dt.UTC), now)
    ticks = ticks_from(data["ticks"], lambda each: tick_from(each, at))
    day = dt.date.fromisoformat(data["day"])
    return Message(uuid.UUID(data["key"]), ticks, str(data.get("word", "")), day)


def _page(student: Student, week: HomeWeek, day: HomeDay) -> SafeString:
    context = {
        "visit": InFile(student.family.studio),
        "student": student,
        "week": week,
        "day": day,
        "can_tick": True,
        "in_file": True,
    }
    return SafeString(render_to_string("home/day_page.html", context))


def _pictures(days: list[HomeDay], a: int) -> dict[str, dict[str, Any]]:
    """Each picture of the week once, by its address, with its notes for the ear."""
    found: dict[str, dict[str, Any]] = {}
    for day in days:
        for row in day.rows:
            for picture in row.pictures:
                if picture.src not in found:
                    path, _, query = picture.src.partition("/engraved/")[2].partition("?")
                    found[picture.src] = {"svg": picture.svg, "notes": _notes(path, query, a)}
    return found


def _notes(path: str, query: str, a: int) -> dict[str, Any]:
    address = parse_address(unquote(path).removesuffix(".svg"), dict(parse_qsl(query)))
    return notes_for_the_ear(*address, a=a)


def _static(name: str) -> SafeString:
    # Our own file, inside <script> or <style>: it must not end that element.
    text = (settings.BASE_DIR / "static" / name).read_text(encoding="utf-8")
    return SafeString(text.replace("</", "<\\/"))

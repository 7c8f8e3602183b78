"""Nonsense typed, sent and dropped everywhere: every answer is one of ours, never a stumble.

Workbooks from the inside: test_fuzz_workbooks.py. The short profile sends some dozens; ten
thousand of each kind:

    pytest tests/studio/web/test_fuzz.py --hypothesis-profile=long
"""

from __future__ import annotations

import hashlib
import io
import json
import uuid
import zipfile
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from django import forms
from django.core import signing
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.test import Client
from django.urls import NoReverseMatch, resolve, reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from practice.home.take_home import _SALT, FORMAT, VERSION
from tests.factories import SCORE
from tests.studio.access.test_every_object import ALL
from tests.studio.access.world import OBJECTS, SECRETS, VALUES, World, arguments, let_go
from tests.studio.roster.test_tables import GOOD as WORKBOOK

if TYPE_CHECKING:
    from pytest_django import Settings

    from studio.models import Studio

# A stumble raises through the client; these are refusals in words.
ANSWERED = range(200, 500)
NOT_PRINTED = 503
LONG_TO_DRAW = (".pdf", ".zip", "print/", "take-home.html")
LEFT_OUT = {
    "backups:make",  # takes no words, and makes a file each time
    "access:sign_out",
}
each_example = settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)


def all_forms(kind: type[Any] = forms.BaseForm) -> Iterator[type[Any]]:
    for inner in kind.__subclasses__():
        yield inner
        yield from all_forms(inner)


@cache
def words_of(area: str) -> list[str]:
    """What the forms of one area ask; `area` is like practice.repertoire."""
    return sorted(
        {
            name
            for form in all_forms()
            if form.__module__.startswith(area)
            for name in getattr(form, "base_fields", {})
        }
        | {"q", "page", "show", "seen", "next", "words", "student", "work", "term", "day", "date"}
    )


typed = st.one_of(
    st.text(max_size=40),
    st.text(alphabet="0123456789-.:,/ eE+", max_size=14),
    st.integers(-(10**30), 10**30).map(str),
    st.integers(-3, 400).map(str),
    st.dates().map(str),
    st.times().map(lambda time: f"{time:%H:%M}"),
    st.sampled_from(
        [
            *("", "on", "yes", "0", "NaN", "inf", "1e999", "null", "[]", "{}", '{"a": 1}', "\x00"),
            *("\u202eabc", "\ud7ff", "٣", "½", "2026-02-30", "9999-12-31", "0001-01-01", "24:00"),
            *(
                "=1+1",
                "<script>",
                "{{ 7 }}",
                "%s%n",
                "../../etc",
                "a\r\nB: c",
                "G major",
                "x" * 5000,
            ),
            *("4/4 (8 8) 4", "G major", "firm", "troubled", "finished", "family", "all", "planned"),
        ]
    ),
)
numbers = st.one_of(
    st.integers(0, 12), st.sampled_from([31, 2026, 9999, 2**31, 2**63 - 1, 2**63, 10**40])
)


@st.composite
def sendings(draw: st.DrawFn) -> tuple[str, bool, dict[str, Any], dict[str, Any], bool]:
    """An address, whether its objects are real, other arguments, what is sent, and how."""
    name = draw(st.sampled_from(sorted(ALL.keys() - LEFT_OUT)))
    keys = arguments(ALL[name])
    drawn_long = any(part in ALL[name] for part in LONG_TO_DRAW)
    real = not drawn_long and draw(st.sampled_from([True, True, True, False]))
    chosen: dict[str, Any] = {
        argument: draw(numbers) for argument, key in keys.items() if key in OBJECTS
    }
    for argument, key in keys.items():
        if key in VALUES:
            kind = type(VALUES[key])
            odd = numbers if kind is int else st.text(min_size=1, max_size=30)
            chosen[argument] = draw(odd) if kind in (int, str) else VALUES[key]
    fields = draw(
        st.dictionaries(
            st.sampled_from(words_of(area_of(name))),
            st.one_of(typed, st.lists(typed, min_size=2, max_size=3)),
            max_size=14,
        )
    )
    return name, real, chosen, fields, draw(st.booleans())


@cache
def area_of(name: str) -> str:
    for number in (1, uuid.UUID(int=1)):  # rows have one or the other
        values = {
            argument: VALUES.get(key, number if key in OBJECTS else "x")
            for argument, key in arguments(ALL[name]).items()
        }
        with suppress(NoReverseMatch):
            view = resolve(reverse(name, kwargs=values)).func
            return ".".join(view.__module__.split(".")[:2])
    raise LookupError(name)


@pytest.mark.django_db
@each_example
@given(sent=sendings())
def test_nothing_sent_makes_a_page_stumble(
    signed_in: Client, studio: Studio, sent: tuple[str, bool, dict[str, Any], dict[str, Any], bool]
) -> None:
    name, real, chosen, fields, by_post = sent
    with transaction.atomic():
        world = World(studio)
        for argument, key in arguments(ALL[name]).items():
            if key in SECRETS:
                chosen[argument] = world.secret if real else "nothing"
            elif key in OBJECTS and real:
                chosen[argument] = OBJECTS[key](world).pk
        try:
            where = reverse(name, kwargs=chosen)
        except NoReverseMatch:
            return
        answer = signed_in.post(where, fields) if by_post else signed_in.get(where, fields)
        let_go(answer)
        assert answer.status_code in ANSWERED or answer.status_code == NOT_PRINTED
        transaction.set_rollback(True)


# -- Files -----------------------------------------------------------------------------------

CALENDAR = (
    "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VTIMEZONE\r\nTZID:Mine\r\n"
    "BEGIN:STANDARD\r\nDTSTART:20201025T030000\r\nTZOFFSETFROM:+0200\r\nTZOFFSETTO:+0100\r\n"
    "END:STANDARD\r\nEND:VTIMEZONE\r\nBEGIN:VEVENT\r\nUID:1\r\nSUMMARY:Orchestra\r\n"
    "DTSTART;TZID=Mine:20261125T190000\r\nDURATION:PT2H\r\nRRULE:FREQ=WEEKLY;COUNT=9;BYDAY=WE\r\n"
    "EXDATE;TZID=Mine:20261202T190000\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n"
)
XML = (
    '<?xml version="1.0"?><score-partwise version="4.0"><part-list><score-part id="P1">'
    '<part-name>V</part-name></score-part></part-list><part id="P1"><measure number="1">'
    "<attributes><divisions>1</divisions><key><fifths>1</fifths></key><time><beats>4</beats>"
    "<beat-type>4</beat-type></time><clef><sign>G</sign><line>2</line></clef></attributes><note>"
    "<pitch><step>G</step><octave>4</octave></pitch><duration>4</duration><type>whole</type>"
    "</note></measure></part></score-partwise>"
)
TICK = {"key": "1b9d6bcd-bbfd-4b2d-9b5d-ab8dfbbd4bed", "day": "2026-11-26", "at": 1.7e12,
        "word": "Sang it first.", "ticks": [{"item": 1, "minutes": 5, "at": 1.7e12}]}  # fmt: skip
LOG = json.dumps({"format": FORMAT, "version": VERSION, "sheet": "", "messages": [TICK]})
LIST = "Given name,Family name,Family,E-mail,Started\nImani,Reyes,Reyes,a@example.org,2026-01-12\n"


def packed(**parts: str) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        for name, content in parts.items():
            archive.writestr(name.replace("__", "."), content)
    return held.getvalue()


SAMPLES: dict[str, list[tuple[str, bytes]]] = {
    "lessons:busy-preview": [("mine.ics", CALENDAR.encode())],
    "scores:add": [
        ("tune.abc", SCORE.encode()),
        ("tune.musicxml", XML.encode()),
        ("tune.mxl", packed(META__xml=XML)),
        ("tune.mei", b'<mei xmlns="http://www.music-encoding.org/ns/mei"/>'),
    ],
    "desk:drop": [("log.json", LOG.encode())],
    "backups:bring": [("mine.zip", packed(manifest__json='{"format": 1}'))],
    "roster:read": [("list.csv", LIST.encode()), ("list.xlsx", WORKBOOK)],
    "export:take_in": [("all.zip", packed(manifest__json='{"format": 1}'))],
}


@st.composite
def files(draw: st.DrawFn) -> tuple[str, str, bytes]:
    """A page that takes a file, and a file: any bytes, or a good one with something changed."""
    name = draw(st.sampled_from(sorted(SAMPLES)))
    called, good = draw(st.sampled_from(SAMPLES[name]))
    change = draw(st.sampled_from(CHANGES))
    content = change(draw, good)
    if name == "desk:drop" and draw(st.booleans()):
        content = as_log(content)
    return name, called, content


def as_log(content: bytes) -> bytes:
    """What a home's file looks like: a text and its checksum; the sheet is signed by us."""
    text = content.decode(errors="replace")
    sheet = signing.dumps({"week": 1}, salt=_SALT)
    text = text.replace('"sheet": ""', f'"sheet": "{sheet}"')
    checksum = hashlib.sha256(text.encode(errors="replace")).hexdigest()
    return json.dumps({"log": text, "sha256": checksum}).encode()


def anything(draw: st.DrawFn, good: bytes) -> bytes:
    return draw(st.binary(min_size=1, max_size=300))


def cut(draw: st.DrawFn, good: bytes) -> bytes:
    return good[: draw(st.integers(1, len(good)))]


def put_in(draw: st.DrawFn, good: bytes) -> bytes:
    place = draw(st.integers(0, len(good)))
    more = draw(st.one_of(st.binary(max_size=20), typed.map(lambda text: text.encode())))
    return good[:place] + more + good[place + draw(st.integers(0, 20)) :]


def turned(draw: st.DrawFn, good: bytes) -> bytes:
    content = bytearray(good)
    for place in draw(st.lists(st.integers(0, len(good) - 1), max_size=6)):
        content[place] = draw(st.integers(0, 255))
    return bytes(content)


def repeated(draw: st.DrawFn, good: bytes) -> bytes:
    begin = draw(st.integers(0, len(good) - 1))
    end = draw(st.integers(begin, len(good)))
    return good[:end] + good[begin:end] * draw(st.integers(1, 30)) + good[end:]


CHANGES: list[Callable[[st.DrawFn, bytes], bytes]] = [anything, cut, put_in, turned, repeated]


@pytest.fixture
def data_dir(settings: Settings, tmp_path: Path) -> Path:
    settings.DATA_DIR = tmp_path
    return tmp_path


@pytest.mark.django_db
@each_example
@given(sent=files())
def test_no_file_makes_a_page_stumble(
    signed_in: Client, studio: Studio, data_dir: Path, sent: tuple[str, str, bytes]
) -> None:
    name, called, content = sent
    with transaction.atomic():
        keys = arguments(ALL[name])
        made = {argument: OBJECTS[key](World(studio)).pk for argument, key in keys.items()}
        file = SimpleUploadedFile(called, content)
        answer = signed_in.post(reverse(name, kwargs=made), {"file": file})
        assert answer.status_code in ANSWERED
        transaction.set_rollback(True)

"""Guardians as vCards, version 3.0 (RFC 2426): the one every address book still reads.

Lines are folded at 75 bytes, between signs. A card keeps its UID, so that bringing the file in
again renews a card instead of doubling it.
"""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterable, Iterator

from django.utils.crypto import salted_hmac
from django.utils.translation import gettext as _

from studio.people.models import Guardian, is_the_student

LONGEST_LINE = 75
_SALT = "studio.people.contacts"


def vcards(guardians: Iterable[Guardian], now: dt.datetime) -> Iterator[str]:
    """One card a guardian; fetch them with their families and students."""
    for guardian in guardians:
        yield "".join(f"{_folded(line)}\r\n" for line in _lines(guardian, now))


def _lines(guardian: Guardian, now: dt.datetime) -> Iterator[str]:
    given, family = _split(guardian.name, guardian.family.name)
    students = [student.full_name for student in guardian.family.students.all()]
    yield "BEGIN:VCARD"
    yield "VERSION:3.0"
    yield f"UID:urn:uuid:{_uid(guardian)}"
    yield f"REV:{now.astimezone(dt.UTC):%Y%m%dT%H%M%SZ}"
    yield f"FN:{_escaped(guardian.name)}"
    yield f"N:{_escaped(family)};{_escaped(given)};;;"
    if guardian.email:
        yield f"EMAIL;TYPE=INTERNET:{_escaped(guardian.email)}"
    if guardian.phone:
        yield f"TEL;TYPE=VOICE:{_escaped(guardian.phone)}"
    if note := _note(guardian, students):
        yield f"NOTE:{_escaped(note)}"
    yield "END:VCARD"


def _split(name: str, family: str) -> tuple[str, str]:
    """Given and family name where the family's name says where to cut; else all is given."""
    if name.endswith(f" {family}"):
        return name.removesuffix(family).strip(), family
    return name, ""


def _note(guardian: Guardian, students: list[str]) -> str:
    if is_the_student(guardian.relation):
        return _("violin student")
    whose = _("violin: {names}").format(names=", ".join(students)) if students else ""
    return ", ".join(filter(None, [guardian.relation, whose]))


def _uid(guardian: Guardian) -> uuid.UUID:
    """The same each time, and nobody's number in another studio's file."""
    return uuid.UUID(bytes=salted_hmac(_SALT, str(guardian.pk), algorithm="sha256").digest()[:16])


def _escaped(text: str) -> str:
    """RFC 2426, 4: backslash, comma, semicolon and line break."""
    for sign in "\\,;":
        text = text.replace(sign, f"\\{sign}")
    plain = text.replace("\r\n", "\n").replace("\r", "\n").replace("\n", "\\n")
    return "".join(sign for sign in plain if sign >= " " and sign != "\x7f")


def _folded(line: str) -> str:
    """RFC 2426, 2.6: a longer line goes on in the next, which begins with a blank."""
    parts, part, size = [], "", 0
    for sign in line:
        width = len(sign.encode())
        if size + width > LONGEST_LINE:
            parts.append(part)
            part, size = " ", 1
        part, size = part + sign, size + width
    return "\r\n".join([*parts, part])

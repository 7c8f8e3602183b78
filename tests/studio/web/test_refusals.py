"""Disk or database refuses while somebody works: told in words, what was typed is not lost."""

from __future__ import annotations

import re
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse

from studio.models import Family

if TYPE_CHECKING:
    from studio.models import Studio

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(connection.vendor != "sqlite", reason="about the file SQLite keeps"),
]
TYPED = "Sings at home.\nBrother asks for a <viola>; “later”, says Łucja & I."
LONG = "éłŏ " * 950  # two bytes a letter: needs pages of its own


def pragma(line: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA {line}")


@contextmanager
def busy() -> Iterator[None]:
    """Another program writes and does not let go for longer than the program waits."""
    with closing(sqlite3.connect(connection.settings_dict["NAME"], isolation_level=None)) as other:
        pragma("busy_timeout=100")
        other.execute("BEGIN IMMEDIATE")
        yield
        other.execute("ROLLBACK")


@contextmanager
def full() -> Iterator[None]:
    """SQLite's own limit gives the error of a full disk."""
    with connection.cursor() as cursor:
        cursor.execute("VACUUM")  # no room in the pages there are
    pragma("max_page_count=1")
    yield
    pragma("max_page_count=1073741823")


@contextmanager
def read_only() -> Iterator[None]:
    pragma("query_only=ON")
    yield
    pragma("query_only=OFF")


FAULTS = {
    "busy": (busy, "Another program is writing"),
    "full": (full, "The disk is full."),
    "read-only": (read_only, "cannot be written"),
}


@pytest.fixture
def visitor(signed_in: Client) -> Client:
    signed_in.raise_request_exception = False
    return signed_in


@pytest.mark.parametrize("kind", FAULTS)
def test_it_is_told_and_what_was_typed_can_be_sent_again(
    visitor: Client, family: Family, kind: str
) -> None:
    fault, words = FAULTS[kind]
    where = reverse("people:family_edit", args=[family.pk])
    said = {"name": "Okonkwo-Reyes", "notes": f"{TYPED}\n{LONG}"}
    with fault():
        answer = visitor.post(where, said)
    assert answer.status_code == 503
    assert answer.headers["Retry-After"]
    page = answer.content.decode()
    assert words in page
    assert "/work" not in page
    assert "sqlite" not in page
    family.refresh_from_db()
    assert family.notes == ""
    again = sent_again(page)
    assert {name: value for name, value in again.items() if name in said} == said
    action = re.search(r'<form method="post" action="([^"]+)"', page)
    assert action
    assert visitor.post(action[1], again).status_code == 302
    family.refresh_from_db()
    assert family.notes == said["notes"].strip()


def sent_again(page: str) -> dict[str, str]:
    """What the browser would send from the page's own form."""
    from html import unescape

    found = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)">', page)
    return {name: unescape(value) for name, value in found}


@pytest.mark.parametrize(("locale", "label"), [("en", "Typed in “Notes”"), ("de", "Notizen")])
def test_what_was_typed_stands_under_the_label_of_its_form(
    visitor: Client, studio: Studio, family: Family, locale: str, label: str
) -> None:
    studio.locale = locale
    studio.save()
    with busy():
        answer = visitor.post(
            reverse("people:family_edit", args=[family.pk]), {"name": "Reyes", "notes": TYPED}
        )
    page = answer.content.decode()
    assert label in page
    assert "“notes”" not in page
    assert "„notes“" not in page


def test_passwords_are_not_repeated(visitor: Client, studio: Studio) -> None:
    said = {"old_password": "five strings minus one", "password": "three bows and a mute"}
    with busy():
        answer = visitor.post(
            reverse("access:password"), said | {"password_again": said["password"]}
        )
    assert answer.status_code == 503
    page = answer.content.decode()
    assert "three bows" not in page
    assert "five strings" not in page
    assert "Send it again" not in page
    assert "Passwords and files are not repeated here" in page


def test_a_part_of_a_page_gets_a_part(visitor: Client, family: Family) -> None:
    with busy():
        answer = visitor.post(
            reverse("people:family_edit", args=[family.pk]),
            {"name": "Reyes", "notes": TYPED},
            headers={"HX-Request": "true"},
        )
    assert answer.status_code == 503
    assert answer.content.decode().startswith('<p class="note need" role="alert">')


def test_reading_goes_on_while_another_program_writes(visitor: Client, family: Family) -> None:
    with busy():
        assert visitor.get(reverse("people:students")).status_code == 200


@pytest.mark.parametrize("where", ["head", "middle"])
def test_a_damaged_database_is_told(visitor: Client, tmp_path: Path, where: str) -> None:
    live = Path(connection.settings_dict["NAME"])
    pragma("wal_checkpoint(TRUNCATE)")
    connection.close()
    torn = Path(shutil.copy(live, tmp_path / "torn.sqlite3"))
    content = bytearray(torn.read_bytes())
    begin = 0 if where == "head" else 4096
    content[begin : begin + 60 * 4096] = b"\xa5" * 60 * 4096
    torn.write_bytes(content)
    connection.settings_dict["NAME"] = torn
    try:
        answer = visitor.get(reverse("people:students"))
    finally:
        connection.close()
        connection.settings_dict["NAME"] = live
    assert answer.status_code == 503
    assert "The database of the studio is damaged." in answer.content.decode()
    assert "manage.py restore" in answer.content.decode()


def test_a_child_at_home_loses_no_word(client: Client, family: Family) -> None:
    """A visitor with a private link is told the same; nothing needs a sign-in to be shown."""
    client.raise_request_exception = False
    with busy():
        answer = client.post(reverse("home:send", args=["x" * 32, 1]), {"words": TYPED})
    assert answer.status_code == 503
    page = answer.content.decode()
    assert sent_again(page)["words"] == TYPED
    assert "What you typed" in page  # refused before a form was there

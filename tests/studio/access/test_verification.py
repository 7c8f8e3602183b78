"""What no other test shows of the points in `points`."""

from __future__ import annotations

import ast
import socket
from typing import TYPE_CHECKING, Any

import pytest
from django.contrib.auth.hashers import MD5PasswordHasher
from django.test import Client
from django.urls import reverse

from studio.models import Family, Student
from studio.running.bootstrap import BASE
from tests.studio.access.points import POINTS
from tests.studio.access.test_every_object import ALL, WITH_OBJECT, address
from tests.studio.access.world import World, let_go

if TYPE_CHECKING:
    from django.contrib.auth.models import User

    from studio.models import Studio

PASSWORD = "five strings minus one"


@pytest.mark.parametrize("point", POINTS)
def test_each_point_has_its_test(point: str) -> None:
    file, _, name = POINTS[point].partition("::")
    tree = ast.parse((BASE / "tests" / file).read_text(encoding="utf-8"))
    assert name in {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)}


def test_cookies_stay_on_this_site_and_out_of_scripts(client: Client, teacher: User) -> None:
    said = {"email": teacher.username, "password": PASSWORD}
    client.post(reverse("access:sign_in"), said)
    client.get(reverse("access:settings"))
    for name in ("sessionid", "csrftoken"):
        cookie = client.cookies[name]
        assert cookie["samesite"] == "Lax"
        assert cookie["httponly"]
        assert not cookie["domain"]


def changed(signed_in: Client, new: str) -> Any:
    said = {"old_password": PASSWORD, "password": new, "password_again": new}
    return signed_in.post(reverse("access:password"), said)


@pytest.mark.parametrize("new", ["ninechars", "1234567890", "password123", "achterberg violins"])
def test_a_poor_password_is_refused(signed_in: Client, teacher: User, new: str) -> None:
    teacher.last_name = "Achterberg Violins"
    teacher.save()
    assert changed(signed_in, new).status_code == 422
    teacher.refresh_from_db()
    assert teacher.check_password(PASSWORD)


@pytest.mark.parametrize("new", ["three bows and a mute", "дождь на улице", "𝄞 𝄢 𝄡 𝄞 𝄢 𝄡 𝄞 𝄢"])
def test_words_alone_make_a_password(signed_in: Client, new: str) -> None:
    assert changed(signed_in, new).status_code == 302


def test_a_password_counts_to_its_last_blank(
    signed_in: Client, client: Client, teacher: User
) -> None:
    long = f" {'a bow ' * 80}"
    assert changed(signed_in, long).status_code == 302
    teacher.refresh_from_db()
    assert teacher.check_password(long)
    assert not teacher.check_password(long.strip())
    assert not teacher.check_password(long[:-1])


def test_password_fields_hide_and_can_be_filled_by_a_manager(signed_in: Client) -> None:
    page = signed_in.get(reverse("access:password")).content.decode()
    assert page.count('type="password"') == 3
    assert page.count('autocomplete="new-password"') == 2
    assert page.count('autocomplete="current-password"') == 1


def test_an_unknown_account_takes_as_long_as_a_known_one(
    client: Client, teacher: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What takes time is hashing the password: it is done once, whoever is named."""
    hashed: list[str] = []
    encode = MD5PasswordHasher.encode

    def counted(self: MD5PasswordHasher, password: str, salt: str) -> str:
        hashed.append(password)
        return encode(self, password, salt)

    monkeypatch.setattr(MD5PasswordHasher, "encode", counted)
    for email in (teacher.username, "nobody@example.org"):
        hashed.clear()
        client.post(reverse("access:sign_in"), {"email": email, "password": "not this one"})
        assert hashed == ["not this one"]


def test_passwords_are_hashed_slowly() -> None:
    """OWASP's advice for PBKDF2 with SHA-256 is 600,000 rounds (from memory); Django's default."""
    from django.conf import global_settings
    from django.contrib.auth.hashers import PBKDF2PasswordHasher

    import studio.settings

    assert not hasattr(studio.settings, "PASSWORD_HASHERS")
    assert global_settings.PASSWORD_HASHERS[0].endswith(".PBKDF2PasswordHasher")
    assert PBKDF2PasswordHasher.iterations >= 600_000


# A restore carries later lines over; the example invents some.
KEEPS_THE_RECORD = {"studio/record", "studio/backups", "practice/example"}


def test_no_page_changes_the_record() -> None:
    assert [name for name in ALL if name.startswith("record:")] == ["record:record"]
    for path in (*(BASE / "studio").rglob("*.py"), *(BASE / "practice").rglob("*.py")):
        if "RecordEntry.objects" in path.read_text(encoding="utf-8"):
            assert path.parent.relative_to(BASE).as_posix() in KEEPS_THE_RECORD, path


# -- Nothing goes out ------------------------------------------------------------------------

ASKING = {"urllib.request", "http.client", "requests", "httpx", "smtplib", "ftplib", "aiohttp"}
LISTENING = {"studio/running/serving.py", "practice/printing/worker.py"}
DRAWN = (".pdf", ".zip", "print/", "take-home")


def test_no_module_of_ours_can_ask_anybody() -> None:
    for path in (*(BASE / "studio").rglob("*.py"), *(BASE / "practice").rglob("*.py")):
        names: set[str] = set()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                names |= {each.name for each in node.names}
            elif isinstance(node, ast.ImportFrom):
                names |= {node.module or ""}
        where = path.relative_to(BASE).as_posix()
        assert not names & ASKING, where
        assert "socket" not in names or where in LISTENING


@pytest.fixture
def hostile(studio: Studio) -> World:
    """Hers, with names that no form would take."""
    world = World(studio)
    assert world.lesson
    Student.objects.update(given_name='A"; x=\r\nX-Bad: 1', family_name="http://192.0.2.1/a.png")
    Family.objects.update(name="../../etc\r\nX-Bad: 2", notes='<img src="http://192.0.2.1/a.png">')
    world.__dict__.pop("student", None)
    world.student = Student.objects.get()
    return world


def pages(world: World, other: Studio) -> list[str]:
    names = [name for name in sorted(WITH_OBJECT) if not any(part in ALL[name] for part in DRAWN)]
    return [address(name, world, World(other), set()) for name in names]


def test_a_hostile_name_breaks_no_header(
    signed_in: Client, hostile: World, other_studio: Studio
) -> None:
    files = 0
    for where in pages(hostile, other_studio):
        answer = signed_in.get(where)
        let_go(answer)
        files += "Content-Disposition" in answer.headers
        assert "X-Bad" not in answer.headers
        assert not any("\r" in value or "\n" in value for value in answer.headers.values())
    assert files >= 2


def test_no_page_asks_anybody_outside(
    signed_in: Client, hostile: World, other_studio: Studio, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object) -> None:
        raise AssertionError("somebody outside is asked")

    monkeypatch.setattr(socket.socket, "connect", refused)
    monkeypatch.setattr(socket, "getaddrinfo", refused)
    for where in pages(hostile, other_studio):
        let_go(signed_in.get(where))
        let_go(signed_in.post(where, {"address": "http://192.0.2.1/", "url": "http://192.0.2.1/"}))
    printed = reverse("lessons:wall-pdf", args=[World(other_studio).term.pk])
    signed_in.force_login(other_studio.owner)
    assert signed_in.get(printed).status_code in {200, 503}

"""`manage.py open`, without the serving itself."""

from __future__ import annotations

import json
import re
import socket
from io import StringIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from django.core.management import BaseCommand, CommandError, call_command
from django.db import DatabaseError, connection
from django.test import Client

from studio.management.commands import open as open_command
from studio.models import Studio
from studio.running import first_start, serving
from studio.running.environment import BadEnvironment
from tests import factories
from tests.studio.running.test_serving import free_port

if TYPE_CHECKING:
    from pytest_django.fixtures import Settings

pytestmark = pytest.mark.django_db


class InventsAStudio(BaseCommand):
    """Stands for the example, which is another app's affair."""

    def handle(self, *args: Any, **options: Any) -> None:
        factories.StudioFactory.create()


@pytest.fixture(autouse=True)
def quiet(monkeypatch: pytest.MonkeyPatch, settings: Settings, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path / "data"
    settings.START_COMMANDS = []
    settings.EXAMPLE_COMMAND = InventsAStudio()
    settings.ALLOWED_HOSTS = ["127.0.0.1"]

    def serve(application: object, listening: Any, trusted_proxy: str) -> None:
        listening.close()

    monkeypatch.setattr(serving, "serve", serve)


def run(*arguments: str) -> str:
    out = StringIO()
    call_command(open_command.Command(), "--port", str(free_port()), *arguments, stdout=out)
    return out.getvalue()


def test_it_says_where_the_studio_is(settings: Settings) -> None:
    said = run()
    assert re.search(r"The studio is open at\n  http://127\.0\.0\.1:\d+/", said)
    assert "phone" not in said
    assert not Studio.objects.exists()


def test_the_example_prints_its_password_once_and_keeps_it(settings: Settings) -> None:
    first, second = run("--example"), run("--example")
    owner = Studio.objects.get().owner
    note = settings.DATA_DIR / "example-sign-in.txt"
    name, password = note.read_text().splitlines()[1:]
    assert name == owner.username
    assert owner.check_password(password)
    assert f"Sign in as {name} with {password}" in first
    assert password not in second
    assert f"kept in {note}" in second


def test_the_example_opens_with_one_click() -> None:
    said = run("--example")
    ticket = re.search(r"http://127\.0\.0\.1:\d+(/ticket/\S+)", said)
    assert ticket
    here = Client(HTTP_HOST="127.0.0.1")
    assert here.get(ticket[1]).headers["Location"] == "/"


def test_the_example_stays_out_of_a_real_studio(studio: Studio) -> None:
    said = run("--example")
    assert "the example stays out of it" in said
    assert "/ticket/" not in said
    assert Studio.objects.get() == studio


def test_in_the_house_a_phone_is_told_its_address(
    monkeypatch: pytest.MonkeyPatch, settings: Settings, studio: Studio
) -> None:
    monkeypatch.setattr(serving, "house_address", lambda: "192.168.1.20")
    said = run("--lan")
    assert re.search(r"in this house:\n  http://192\.168\.1\.20:\d+/", said)
    assert "in a network you trust" in said
    assert Client(HTTP_HOST="192.168.1.20").get("/sign-in/").status_code == 200
    assert Client(HTTP_HOST="192.168.1.21").get("/sign-in/").status_code == 400


def test_without_a_house_network_it_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "house_address", lambda: None)
    assert "No house network was found" in run("--lan")


def test_it_listens_on_this_computer_alone_unless_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    listen = serving.listen

    def remembering(host: str, port: int) -> socket.socket:
        asked.append(host)
        return listen("127.0.0.1", port)

    monkeypatch.setattr(serving, "listen", remembering)
    run()
    run("--lan")
    assert asked == ["127.0.0.1", "0.0.0.0"]


def test_the_browser_opens_only_when_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []
    monkeypatch.setattr("webbrowser.open", opened.append)
    run()
    assert opened == []
    run("--browser")
    assert len(opened) == 1


def test_a_port_in_use_ends_the_start_before_any_work(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(first_start, "prepare_database", lambda: pytest.fail("worked on"))
    with (
        serving.listen(serving.LOOPBACK, free_port()) as taken,
        pytest.raises(serving.PortTrouble, match="is in use"),
    ):
        call_command(open_command.Command(), "--port", str(taken.getsockname()[1]))


@pytest.mark.parametrize("port", ["0", "65536", "eighty", "-1"])
def test_a_port_that_is_none_is_told(port: str) -> None:
    with pytest.raises(CommandError, match="is no port; choose a number up to 65535"):
        call_command(open_command.Command(), f"--port={port}")


def test_https_without_a_proxy_is_told(settings: Settings) -> None:
    settings.HTTPS = True
    with pytest.raises(BadEnvironment, match="STUDIO_PROXY"):
        run()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("database disk image is malformed", "is damaged"),
        ("attempt to write a readonly database", "cannot be written"),
        ("unable to open database file", "is it full or write-protected"),
    ],
)
def test_a_database_in_trouble_is_told(
    monkeypatch: pytest.MonkeyPatch, text: str, words: str
) -> None:
    def broken(*_: object) -> None:
        raise DatabaseError(text)

    monkeypatch.setattr(connection, "vendor", "sqlite")
    monkeypatch.setattr(first_start, "MigrationExecutor", broken)
    with pytest.raises(first_start.DatabaseTrouble, match=words):
        run()


def test_a_database_server_that_is_away_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise DatabaseError("connection refused\nIs the server running?")

    monkeypatch.setattr(connection, "vendor", "postgresql")
    monkeypatch.setattr(first_start, "MigrationExecutor", broken)
    with pytest.raises(first_start.DatabaseTrouble, match="does not answer: connection refused$"):
        run()


def test_the_commands_named_in_the_settings_exist() -> None:
    """Read from a fresh start, where no test has replaced them."""
    from django.core.management import get_commands

    import studio.settings

    named = [*studio.settings.START_COMMANDS, studio.settings.EXAMPLE_COMMAND]
    assert set(named) <= set(get_commands()), json.dumps(named)

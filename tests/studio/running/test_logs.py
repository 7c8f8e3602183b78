"""A log line says where, never whom."""

from __future__ import annotations

import logging
import os
import stat
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from django.conf import settings
from django.test import Client

from studio.running.logs import PrivateFile, PrivateFormatter
from tests.studio.access.test_every_object import WITH_OBJECT, address
from tests.studio.access.world import World

if TYPE_CHECKING:
    from studio.models import Studio


def formatted(message: str, *arguments: object, failed: bool = False) -> str:
    record = logging.LogRecord("studio", logging.ERROR, "", 0, message, arguments, None)
    if failed:
        record.exc_info = sys.exc_info()
    return PrivateFormatter().format(record)


def test_the_text_of_an_exception_is_left_out_and_its_place_kept() -> None:
    child = "Imani"
    try:
        raise ValueError(f"{child} already exists")
    except ValueError:
        line = formatted("Internal Server Error: %s", "/students/7/", failed=True)
    assert "Imani already" not in line
    assert line.splitlines()[-1] == "ValueError"
    assert "test_logs.py" in line
    assert "/students/7/" in line


def test_the_secret_of_a_private_link_is_left_out() -> None:
    line = formatted("Internal Server Error: %s", "/h/MjGbvweRaTG3TSvei5lMX__easrhNFd6/log/")
    assert line.endswith("Internal Server Error: /h/…/log/")
    assert "MjGbvwe" not in line


def test_what_was_searched_for_is_left_out(
    signed_in: Client, caplog: pytest.LogCaptureFixture
) -> None:
    """A proxy that leaves the port out of the host has every form refused, with its referrer."""
    signed_in.handler.enforce_csrf_checks = True
    with caplog.at_level(logging.WARNING):
        answer = signed_in.post(
            "/students/",
            secure=True,
            headers={"referer": "https://testserver:8443/students/?q=Imani"},
        )
    assert answer.status_code == 403
    lines = [PrivateFormatter().format(record) for record in caplog.records]
    assert any("students/?… does not match" in line for line in lines)
    assert "Imani" not in "".join(lines)


def lines_in(folder: Path) -> str:
    return "".join(path.read_text() for path in sorted(folder.glob("studio.log*")))


def test_the_file_is_its_owners_alone_turns_and_stays_small(tmp_path: Path) -> None:
    handler = PrivateFile(tmp_path / "log" / "studio.log")
    handler.setFormatter(PrivateFormatter())
    assert not (tmp_path / "log").exists()
    for number in range(80):
        record = logging.LogRecord("x", logging.ERROR, "", 0, f"{number} {'.' * 100_000}", (), None)
        handler.handle(record)
    handler.close()
    files = sorted((tmp_path / "log").glob("studio.log*"))
    assert [path.name for path in files] == [
        "studio.log",
        *(f"studio.log.{n}" for n in range(1, 5)),
    ]
    assert sum(path.stat().st_size for path in files) < 5_100_000
    if os.name != "nt":
        assert {stat.S_IMODE(path.stat().st_mode) for path in files} == {0o600}
        assert stat.S_IMODE((tmp_path / "log").stat().st_mode) == 0o700


def test_a_disk_that_takes_no_line_stops_nobody(tmp_path: Path) -> None:
    (tmp_path / "log").write_text("a file where the folder should be")
    handler = PrivateFile(tmp_path / "log" / "studio.log")
    handler.handle(logging.LogRecord("x", logging.ERROR, "", 0, "told elsewhere", (), None))


def test_it_is_what_the_program_writes_to() -> None:
    handlers: Any = settings.LOGGING["handlers"]
    assert handlers["file"]["path"] == settings.DATA_DIR / "log" / "studio.log"
    assert {each["formatter"] for each in handlers.values()} == {"private"}


PRIVATE = "Imani Okonkwo-Reyes, born in 2017, plays the Lantern Boat"


def fails(*_: object, **__: object) -> None:
    raise ValueError(PRIVATE)


def test_every_page_is_walked_and_no_name_is_in_the_log(
    signed_in: Client,
    studio: Studio,
    other_studio: Studio,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Read, sent to, and broken in the middle of the page, at the most talkative level."""
    handler = PrivateFile(tmp_path / "studio.log")
    handler.setFormatter(PrivateFormatter())
    loggers = [
        logging.getLogger(),
        logging.getLogger("django"),
        logging.getLogger("django.request"),
    ]
    for logger in loggers:
        monkeypatch.setattr(logger, "handlers", [*logger.handlers, handler])
        monkeypatch.setattr(logger, "level", logging.DEBUG)
    hers = World(studio)
    signed_in.raise_request_exception = False
    said = {"q": "Imani", "name": "Okonkwo-Reyes", "words": "Imani sang", "text": "Tomás asks"}
    for name in sorted(WITH_OBJECT):
        where = address(name, hers, World(other_studio), set())
        signed_in.get(f"{where}?q=Imani")
        with monkeypatch.context() as broken:
            broken.setattr("studio.people.models.Student.full_name", property(fails))
            broken.setattr("studio.access.middleware.own_studio", fails)
            signed_in.get(where)
            signed_in.post(where, said)
    handler.close()
    log = lines_in(tmp_path)
    assert log.count("ValueError") > len(WITH_OBJECT)
    for word in ("Imani", "Okonkwo", "Reyes", "Tomás", "Achterberg", "Marisol", "rosin", "Lantern"):
        assert word not in log, word
    assert hers.secret not in log

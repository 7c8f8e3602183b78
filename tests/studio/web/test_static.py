"""Static files: cached for good under a versioned address, found anew when they change."""

from __future__ import annotations

import gzip
import os
from typing import TYPE_CHECKING

import pytest
import tinycss2  # type: ignore[import-untyped]
from django.conf import settings
from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage
from django.test import Client

from studio.web.static import FOR_GOOD

if TYPE_CHECKING:
    from pathlib import Path


def test_an_address_carries_the_version_of_its_file() -> None:
    assert staticfiles_storage.url("css/base.css").startswith("/static/css/base.css?v=")


def test_a_versioned_address_is_kept_for_good_and_a_bare_one_is_asked_again() -> None:
    client = Client()
    versioned = client.get(staticfiles_storage.url("css/base.css"))
    bare = client.get("/static/css/base.css")
    assert versioned.headers["Cache-Control"] == FOR_GOOD
    assert bare.headers["Cache-Control"] == "max-age=60, public"
    assert b"".join(versioned) == b"".join(bare)


def test_fonts_are_kept_for_good_under_their_own_name() -> None:
    font = Client().head("/static/fonts/alegreya-latin-800-normal.woff2")
    assert "immutable" in font.headers["Cache-Control"]


def test_a_changed_file_gets_a_new_address(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    sheet = tmp_path / "one.css"
    monkeypatch.setattr(finders, "find", lambda name: str(sheet))
    sheet.write_text("a{}")
    before = staticfiles_storage.url("one.css")
    sheet.write_text("b{}")
    os.utime(sheet, ns=(1, 1))
    assert staticfiles_storage.url("one.css") != before


def test_a_file_that_does_not_exist_keeps_a_plain_address() -> None:
    assert staticfiles_storage.url("css/nothing.css") == "/static/css/nothing.css"


def test_no_file_outside_the_static_folder_is_served() -> None:
    assert Client().get("/static/../manage.py").status_code == 404
    assert Client().get("/static/%2e%2e/manage.py").status_code == 404


def meaning(name: str, content: bytes) -> list[str]:
    """What a browser makes of a file: rules by another reader, or lines of code."""
    text = content.decode()
    if name.endswith(".css"):
        tokens = tinycss2.parse_component_value_list(text, skip_comments=True)
        return str(tinycss2.serialize(tokens)).split()
    lines = [line.strip() for line in text.splitlines()]
    return [line for line in lines if not (name.endswith(".js") and line.startswith("//"))]


OWN_SCRIPTS = sorted((settings.BASE_DIR / "static" / "js").glob("*.js"))


@pytest.mark.parametrize("path", OWN_SCRIPTS, ids=lambda path: path.name)
def test_no_text_of_a_script_runs_over_lines(path: Path) -> None:
    """Indents are taken out of packed scripts, so none may stand in a text."""
    for line in path.read_text(encoding="utf-8").splitlines():
        assert line.count("`") % 2 == 0, line


@pytest.mark.parametrize("name", ["css/base.css", "css/home.css", "js/home.js", "icons/studio.svg"])
def test_text_is_packed_for_a_browser_that_takes_it(name: str) -> None:
    address = staticfiles_storage.url(name)
    plain = Client().get(address)
    packed = Client(headers={"accept-encoding": "gzip, br"}).get(address)
    assert packed.headers["Content-Encoding"] == "gzip"
    assert int(packed.headers["Content-Length"]) == len(packed.content)
    assert meaning(name, gzip.decompress(packed.content)) == meaning(name, b"".join(plain))
    if not name.endswith(".svg"):
        assert len(gzip.decompress(packed.content)) < int(plain.headers["Content-Length"])
    assert "Content-Encoding" not in plain.headers
    for answer in (plain, packed):
        assert "Accept-Encoding" in answer.headers["Vary"]
        assert answer.headers["Cache-Control"] == FOR_GOOD
        assert answer.headers["Content-Type"] == plain.headers["Content-Type"]


def test_a_part_of_a_file_and_an_unchanged_one_are_answered_unpacked() -> None:
    client = Client(headers={"accept-encoding": "gzip"})
    whole = client.get("/static/css/base.css")
    since = {"if-modified-since": whole.headers["Last-Modified"]}
    assert client.get("/static/css/base.css", headers=since).status_code == 304
    part = client.get("/static/css/base.css", headers={"range": "bytes=0-9"})
    assert part.status_code == 206
    assert len(b"".join(part)) == 10


def test_a_font_is_sent_as_it_is() -> None:
    font = Client(headers={"accept-encoding": "gzip"}).head(
        "/static/fonts/alegreya-latin-800-normal.woff2"
    )
    assert "Content-Encoding" not in font.headers

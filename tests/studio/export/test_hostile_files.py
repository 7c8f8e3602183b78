"""A file made to harm, or only damaged: told in a sentence, and nothing is changed."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Callable
from typing import Any

import pytest
from django.db import transaction

from studio.export import packing, placing
from studio.export.packing import ExportTrouble
from studio.export.rules import carried
from studio.models import Studio
from tests.factories import StudioFactory
from tests.studio.export.filling import filled
from tests.studio.export.test_round_trip import taken_out

pytestmark = pytest.mark.django_db
Parts = dict[str, bytes]


@pytest.fixture
def parts(db: None) -> Parts:
    """The files of a good export, by name."""
    with zipfile.ZipFile(io.BytesIO(good())) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


@pytest.fixture
def empty(db: None) -> Studio:
    return StudioFactory.create(name="Empty")


def packed(parts: Parts) -> io.BytesIO:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    file.seek(0)
    return file


def summed(parts: Parts) -> io.BytesIO:
    """Zipped with a manifest that fits, as somebody would who knows how it is made."""
    said = json.loads(parts["manifest.json"])
    said["files"] = {
        name: {"sha256": hashlib.sha256(content).hexdigest(), "bytes": len(content)}
        for name, content in parts.items()
        if name != "manifest.json"
    }
    said["rows"] = {
        name[5:-6]: content.count(b"\n") for name, content in parts.items() if name[:5] == "data/"
    }
    return packed({**parts, "manifest.json": json.dumps(said).encode()})


def refused(studio: Studio, file: io.BytesIO) -> str:
    """The sentence; and nothing of the studio is other than before."""
    before = {rule.label: rule.model._base_manager.count() for rule in carried()}
    with pytest.raises(ExportTrouble) as told:
        placing.take_in(studio, file, "brought.zip")
    assert before == {rule.label: rule.model._base_manager.count() for rule in carried()}
    studio.refresh_from_db()
    assert studio.name == "Empty"
    return str(told.value)


def test_the_good_one_is_taken(parts: Parts, empty: Studio) -> None:
    placing.take_in(empty, summed(parts), "brought.zip")
    assert not placing.is_empty(empty)


@pytest.mark.parametrize(
    "content", [b"", b"a letter", b"PK\x05\x06" + bytes(18), b"PK\x03\x04" * 9]
)
def test_what_is_no_export(empty: Studio, content: bytes) -> None:
    said = refused(empty, io.BytesIO(content))
    assert said.startswith("“brought.zip” is")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"version": 2}, "newer version of the program"),
        ({"version": 0}, "manifest.json is wrong"),
        ({"version": "1"}, "manifest.json is wrong"),
        ({"format": "else"}, "manifest.json is wrong"),
        ({"files": []}, "manifest.json is wrong"),
        ({"files": {"a": 1}}, "manifest.json is wrong"),
        ({"rows": {"studio.family": -1}}, "manifest.json is wrong"),
        ({"made": "yesterday"}, "manifest.json is wrong"),
    ],
)
def test_a_wrong_manifest(parts: Parts, empty: Studio, change: dict[str, Any], words: str) -> None:
    said = {**json.loads(parts["manifest.json"]), **change}
    assert words in refused(empty, packed({**parts, "manifest.json": json.dumps(said).encode()}))


@pytest.mark.parametrize("content", [b"[" * 100_000, b"{", b"null", b"\xff", b"1" * 5000])
def test_a_manifest_that_is_none(parts: Parts, empty: Studio, content: bytes) -> None:
    assert "no export of a studio" in refused(empty, packed({**parts, "manifest.json": content}))


@pytest.mark.parametrize(
    "name", ["../../outside", "/etc/passwd", "data/../x.jsonl", "C:\\x", "data/a.jsonl\n", "x.php"]
)
def test_names_that_lead_elsewhere(parts: Parts, empty: Studio, name: str) -> None:
    assert "which no export has" in refused(empty, summed({**parts, name: b"{}"}))


def test_a_file_the_manifest_does_not_know(parts: Parts, empty: Studio) -> None:
    foreign = {**parts, "tables/foreign.csv": b"x"}
    assert "its manifest knows nothing" in refused(empty, packed(foreign))


def test_a_missing_file(parts: Parts, empty: Studio) -> None:
    del parts["data/studio.student.jsonl"]
    assert "data/studio.student.jsonl is missing" in refused(empty, packed(parts))


def test_a_model_of_a_newer_version(parts: Parts, empty: Studio) -> None:
    newer = {**parts, "data/studio.robot.jsonl": b""}
    assert "does not know" in refused(empty, summed(newer))


def test_a_changed_file(parts: Parts, empty: Studio) -> None:
    name = "data/studio.guardian.jsonl"
    parts[name] = parts[name].replace(b"tomas@", b"evil1@")
    assert f"{name} is not what was put into it" in refused(empty, packed(parts))


def test_the_same_file_twice(parts: Parts, empty: Studio) -> None:
    file = summed(parts)
    with pytest.warns(UserWarning, match="Duplicate"), zipfile.ZipFile(file, "a") as archive:
        archive.writestr("README.txt", b"again")
    assert "the same file twice" in refused(empty, file)


def test_a_bomb(parts: Parts, empty: Studio) -> None:
    """Megabytes of one sign; the whole is refused before any of it is read."""
    bomb = {**parts, "tables/bomb.csv": b"0" * 64 * 1024 * 1024}
    assert "more than a studio can hold" in refused(empty, summed(bomb))


def test_a_bomb_that_lies_about_its_size(parts: Parts, empty: Studio) -> None:
    """zipfile gives no more than the size that is stated, and then the sums do not fit."""
    file = summed({**parts, "tables/bomb.csv": b"0" * 1024 * 1024})
    raw = bytearray(file.getvalue())
    size = (1024 * 1024).to_bytes(4, "little")
    for at in range(len(raw) - 4):
        if raw[at : at + 4] == size:
            raw[at : at + 4] = (10).to_bytes(4, "little")
    assert "“brought.zip” is damaged" in refused(empty, io.BytesIO(bytes(raw)))


@pytest.mark.parametrize("method", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_a_zip_packed_in_another_way(parts: Parts, empty: Studio, method: int) -> None:
    """The unpackers of such ways raise errors of their own for what is broken."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", method) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    broken = bytearray(file.getvalue())
    broken[60:80] = bytes(byte ^ 0xFF for byte in broken[60:80])
    assert "damaged or no zip" in refused(empty, io.BytesIO(bytes(broken)))


def test_a_locked_zip(parts: Parts, empty: Studio) -> None:
    raw = bytearray(packed(parts).getvalue())
    for sign, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        place = raw.find(sign)
        while place >= 0:
            raw[place + at] |= 1
            place = raw.find(sign, place + 4)
    assert "password" in refused(empty, io.BytesIO(bytes(raw)))


def changed(parts: Parts, model: str, change: Callable[[dict[str, Any]], Any]) -> io.BytesIO:
    """The first row of one model, changed by somebody who sums it up anew."""
    name = f"data/{model}.jsonl"
    first, *rest = parts[name].splitlines(True)
    row = json.loads(first)
    row = change(row) or row
    return summed({**parts, name: b"".join([json.dumps(row).encode() + b"\n", *rest])})


@pytest.mark.parametrize(
    ("model", "field", "value"),
    [
        ("studio.student", "family", 999_999),
        ("studio.student", "family", "1"),
        ("studio.student", "family", None),
        ("studio.student", "status", "<script>"),
        ("studio.student", "started", "2026-02-31"),
        ("studio.student", "given_name", "two\nlines"),
        ("studio.student", "given_name", "x" * 81),
        ("studio.student", "given_name", 7),
        ("studio.student", "given_name", "zero\x00"),
        ("studio.student", "notes", "half a sign \ud800"),
        ("studio.student", "minutes_mon", 10**30),
        ("studio.student", "minutes_mon", -1),
        ("studio.student", "id", "one"),
        ("studio.student", "id", -1),
        ("studio.student", "id", 2**70),
        ("studio.student", "owner", 1),
        ("studio.lesson", "link", "javascript:alert(1)"),
        ("studio.lesson", "minutes", 9999),
        ("studio.lesson", "uid", "no uuid"),
        ("studio.slot", "students", [999_999]),
        ("studio.slot", "students", 1),
        ("studio.homelink", "token_hash", "0" * 64),
        ("practice.spot", "tempo_goal", 1),
        ("practice.bowing", "pattern", {"code": "nonsense"}),
        ("practice.bowing", "pattern", []),
        ("practice.plan", "inputs", {"days": 1}),
        ("practice.assignment", "pins", {"items": [{"key": 1}]}),
        ("practice.assignment", "minutes", ["a"]),
        ("practice.sheet", "data", {}),
        ("practice.score", "data", "files/practice.score/999.abc"),
        ("practice.score", "data", "data/studio.student.jsonl"),
        ("practice.score", "data", "/etc/passwd"),
        ("practice.score", "digest", "0" * 64),
        ("practice.work", "techniques", "x"),
        ("studio.studio", "zone", "Nowhere/Land"),
        ("studio.studio", "paper", "A0"),
        ("studio.studio", "owner", 1),
    ],
)
def test_a_row_that_breaks_a_rule(
    parts: Parts, empty: Studio, model: str, field: str, value: Any
) -> None:
    file = changed(parts, model, lambda row: row.update({field: value}))
    said = refused(empty, file)
    assert said.startswith((f"Line 1 of data/{model}.jsonl", "“brought.zip”"))


def test_rows_that_break_a_rule_of_the_database(parts: Parts, empty: Studio) -> None:
    file = changed(parts, "studio.lessonrules", lambda row: row.update({"day_closes": "07:00:00"}))
    assert "breaks a rule of the program" in refused(empty, file)


def test_a_work_of_another_studio_cannot_be_reached(
    parts: Parts, empty: Studio, other_studio: Studio
) -> None:
    """Whatever studio a row names, it becomes the one that takes it in."""
    file = changed(parts, "studio.term", lambda row: row.update({"studio": other_studio.pk}))
    placing.take_in(empty, file, "brought.zip")
    assert not other_studio.terms.exists()
    assert empty.terms.exists()


def test_a_list_row_that_all_share_is_never_written(parts: Parts, empty: Studio) -> None:
    def claim(row: dict[str, Any]) -> None:
        row.update({"studio": None, "catalogue_key": "planted", "title": "Planted"})

    placing.take_in(empty, changed(parts, "practice.work", claim), "brought.zip")
    planted = empty.works.filter(title="Planted")
    assert planted.count() == 1


def test_only_an_empty_studio_takes_one_in(parts: Parts, student: Any, studio: Studio) -> None:
    with pytest.raises(ExportTrouble, match="holds something already"):
        placing.take_in(studio, summed(parts), "brought.zip")


def test_a_line_without_end(parts: Parts, empty: Studio, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(packing, "MOST_LINE", 1000)
    parts["data/studio.term.jsonl"] = b" " * 2000
    assert "is too long" in refused(empty, summed(parts))


_MADE: list[bytes] = []


def good() -> bytes:
    """One good file, made once; its rows need not be there any more."""
    if not _MADE:
        with transaction.atomic():
            _MADE.append(taken_out(filled()).getvalue())
            transaction.set_rollback(True)
    return _MADE[0]


@pytest.mark.parametrize("label", ["practice.plan", "practice.item"])
def test_a_name_that_cannot_be_packed_is_told(parts: Parts, empty: Studio, label: str) -> None:
    """Also where an earlier version kept it in a field that is gone."""
    rows = [json.loads(line) for line in parts[f"data/{label}.jsonl"].splitlines()]
    plan: dict[str, Any] = {"details": {"|": "x"}}
    rows[0] |= plan if label == "practice.plan" else {"key": "|", "detail": "x"}
    parts[f"data/{label}.jsonl"] = b"".join(json.dumps(row).encode() + b"\n" for row in rows)
    assert "No name may be “|”" in refused(empty, summed(parts))

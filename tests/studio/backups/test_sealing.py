"""A locked backup opens with its passphrase, with nothing else, and in other people's programs."""

from __future__ import annotations

import base64
import os
import pty
import re
import shutil
import stat
import subprocess
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from studio.backups import keeping, sealing
from studio.backups.keeping import Backup, Why
from studio.backups.trouble import BackupTrouble
from studio.models import RecordEntry
from studio.record.models import What
from tests.studio.backups.test_commands import (
    backup_of,
    folder,
    lose_a_student,
    made,
    manage,
    names,
)

if TYPE_CHECKING:
    from studio.models import Student

__all__ = ["folder", "made"]  # fixtures
PAGE = "/settings/backups/"
PASSPHRASE = "three bows and a mute"
PLAIN = b"Four strings, one bow.\n"
# Locked by the reference program: `age -p` 1.1.1 of Debian, with PASSPHRASE, on 2026-11-25.
BY_AGE = base64.b64decode(
    "YWdlLWVuY3J5cHRpb24ub3JnL3YxCi0+IHNjcnlwdCBMUWRvWjVxSFo0V3hFaWR3QjNLR0hRIDE4ClhlNVBNV1FRb3Bm"
    "V0IrRUoyUFZja29Ib283VVZoVitJS0xCWW9BYURUdG8KLS0tIE95OW1xWjJVL3BKY3R2VnNGWS9Qa1lVeFcwL2ZUaGVw"
    "bStsUFBUc0RHNFUKOGJt6gAblplhXdMCPnQAuSFLYtSLAUOHmpFFCq15XAhfemrV/I2Hykanhm6mjNo+w+cB1pQQFQ=="
)


@pytest.fixture(scope="module")
def locked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    plain = tmp_path_factory.mktemp("sealing") / "plain.zip"
    plain.write_bytes(PLAIN)
    sealing.seal(plain, plain.with_name("locked.age"), PASSPHRASE)
    return plain.with_name("locked.age")


def test_what_the_reference_program_locked_is_opened(tmp_path: Path) -> None:
    theirs = tmp_path / "theirs.age"
    theirs.write_bytes(BY_AGE)
    assert sealing.is_sealed(theirs)
    sealing.unseal(theirs, tmp_path / "plain", PASSPHRASE)
    assert (tmp_path / "plain").read_bytes() == PLAIN


@pytest.mark.skipif(shutil.which("age") is None, reason="needs the program age (apt install age)")
def test_what_we_lock_is_opened_by_the_reference_program(locked: Path, tmp_path: Path) -> None:
    """`age` asks at a terminal, so it gets one."""
    out = tmp_path / "plain"
    child, terminal = pty.fork()
    if child == 0:
        os.execvp("age", ["age", "-d", "-o", str(out), str(locked)])
    asked = b""
    while b":" not in asked:
        asked += os.read(terminal, 1000)
    time.sleep(0.2)
    os.write(terminal, PASSPHRASE.encode() + b"\n")
    assert os.waitpid(child, 0)[1] == 0
    assert out.read_bytes() == PLAIN


def test_the_file_says_nothing_and_is_its_owners_alone(locked: Path) -> None:
    assert b"strings" not in locked.read_bytes()
    if os.name != "nt":
        assert stat.S_IMODE(locked.stat().st_mode) == 0o600


def test_a_passphrase_typed_decomposed_is_the_same(tmp_path: Path) -> None:
    plain, locked = tmp_path / "plain", tmp_path / "locked"
    plain.write_bytes(PLAIN)
    sealing.seal(plain, locked, "drei Bo\u0308gen")
    sealing.unseal(locked, tmp_path / "again", "drei B\u00f6gen")
    assert (tmp_path / "again").read_bytes() == PLAIN


def test_a_wrong_passphrase_opens_nothing(locked: Path, tmp_path: Path) -> None:
    with pytest.raises(sealing.WrongPassphrase, match="not its passphrase"):
        sealing.unseal(locked, tmp_path / "plain", PASSPHRASE.upper())
    assert not (tmp_path / "plain").exists()


@pytest.mark.parametrize("damage", ["cut", "changed", "work", "header"])
def test_a_damaged_one_opens_nothing(locked: Path, tmp_path: Path, damage: str) -> None:
    content = locked.read_bytes()
    torn = {
        "cut": content[:-10],
        "changed": content[:-5] + b"?" + content[-4:],
        # 2^31 rounds would take hours and 2 TB: refused before it begins.
        "work": re.sub(rb"(scrypt \S+) \d+", rb"\1 31", content, count=1),
        "header": sealing.FIRST_LINE,
    }[damage]
    (tmp_path / "torn.age").write_bytes(torn)
    with pytest.raises(BackupTrouble, match="damaged") as refused:
        sealing.unseal(tmp_path / "torn.age", tmp_path / "plain", PASSPHRASE)
    assert not isinstance(refused.value, sealing.WrongPassphrase)
    assert not (tmp_path / "plain").exists()


def test_the_passphrase_is_not_among_the_arguments(
    locked: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every account of the computer can read the arguments of a process."""
    seen: list[list[str]] = []
    run = subprocess.run

    def looked_at(command: list[str], **more: Any) -> Any:
        seen.append(command)
        return run(command, **more)

    monkeypatch.setattr(subprocess, "run", looked_at)
    sealing.unseal(locked, tmp_path / "plain", PASSPHRASE)
    assert seen[0][0] == sys.executable
    assert not any("bows" in argument for argument in seen[0])


def test_one_too_large_is_told(
    locked: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sealing, "MOST_BYTES", 20)
    with pytest.raises(BackupTrouble, match="larger than 512 MB"):
        sealing.unseal(locked, tmp_path / "plain", PASSPHRASE)


# -- The page --------------------------------------------------------------------------------

on_page = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("frozen")]


@pytest.fixture
def backup(filled: Student) -> Backup:
    return keeping.make(Why.BY_HAND)


class TestPage:
    pytestmark = on_page

    def test_it_goes_out_locked_and_comes_back(self, signed_in: Client, backup: Backup) -> None:
        page = f"{PAGE}{backup.name}/lock/"
        assert "kept nowhere" in signed_in.get(page).content.decode()
        answer = signed_in.post(page, {"password": PASSPHRASE, "password_again": PASSPHRASE})
        assert answer.headers["Content-Disposition"].endswith(f'"{backup.name}.age"')
        content = b"".join(answer.streaming_content)  # type: ignore[attr-defined]
        answer.close()
        assert content.startswith(sealing.FIRST_LINE)
        for typed, words in (("", "It is locked"), ("no such", "not its passphrase")):
            file = SimpleUploadedFile("mine.zip.age", content)
            refused = signed_in.post(f"{PAGE}bring/", {"file": file, "passphrase": typed})
            assert refused.status_code == 422
            assert words in refused.content.decode()
            assert "Choose the file again." in refused.content.decode()
        file = SimpleUploadedFile("mine.zip.age", content)
        taken = signed_in.post(f"{PAGE}bring/", {"file": file, "passphrase": PASSPHRASE})
        assert taken.status_code == 302
        brought = next(each for each in keeping.all_backups() if each.why == Why.BROUGHT)
        assert brought.path.read_bytes() == backup.path.read_bytes()
        assert [row.what for row in RecordEntry.objects.order_by("pk")] == [
            What.BACKUP_DOWNLOADED,
            What.BACKUP_BROUGHT,
        ]
        assert [path for path in keeping.folder().iterdir() if path.suffix != ".zip"] == []

    @pytest.mark.parametrize(
        ("first", "again", "words"),
        [
            ("", "", "Choose a passphrase."),
            ("short", "short", "too short"),
            ("password123", "password123", "too common"),
            (PASSPHRASE, "another", "differ"),
        ],
    )
    def test_a_poor_passphrase_is_refused(
        self, signed_in: Client, backup: Backup, first: str, again: str, words: str
    ) -> None:
        said = {"password": first, "password_again": again}
        answer = signed_in.post(f"{PAGE}{backup.name}/lock/", said)
        assert answer.status_code == 422
        assert words in answer.content.decode()

    def test_several_studios_have_no_such_page(
        self, signed_in: Client, backup: Backup, other_student: Student
    ) -> None:
        said = {"password": PASSPHRASE, "password_again": PASSPHRASE}
        page = f"{PAGE}{backup.name}/lock/"
        assert signed_in.get(page).status_code == 404
        assert signed_in.post(page, said).status_code == 404


# -- The command line ------------------------------------------------------------------------


def test_out_locked_and_in_again(folder: Path) -> None:
    away = folder.parent / "away.zip.age"
    said = manage(folder, "backup", "--locked", str(away), said=f"{PASSPHRASE}\n{PASSPHRASE}\n")
    assert said.returncode == 0, said.stderr
    assert "kept nowhere" in said.stdout
    assert PASSPHRASE not in said.stdout + said.stderr
    lose_a_student(folder)
    wrong = manage(folder, "restore", str(away), "--yes", said="something else\n")
    assert "not its passphrase" in wrong.stderr
    assert names(folder / "studio.sqlite3") == ["Bảo"]
    right = manage(folder, "restore", str(away), said=f"{PASSPHRASE}\nyes\n")
    assert right.returncode == 0, right.stderr
    assert names(folder / "studio.sqlite3") == ["Imani", "Bảo"]


@pytest.mark.parametrize(
    ("arguments", "said", "words"),
    [
        (["--locked"], "", "Say where"),
        (["--locked", "x.zip"], "", "Say where"),
        (["--locked", "{}/x.zip.age"], f"{PASSPHRASE}\nother\n", "The two differ"),
        (["--locked", "{}/x.zip.age"], "short\nshort\n", "too short"),
    ],
)
def test_what_cannot_be_locked_is_told(
    folder: Path, arguments: list[str], said: str, words: str
) -> None:
    arguments = [argument.format(folder) for argument in arguments]
    told = manage(folder, "backup", *arguments, said=said)
    assert told.returncode == 1
    assert words in told.stderr
    assert not (folder / "x.zip.age").exists()
    assert backup_of(folder)

"""A new version in the place of the old one, whole or not at all; with stand-ins for programs."""

from __future__ import annotations

import errno
import shutil
import subprocess
import sys
import tarfile
from pathlib import Path

import pytest

from studio.running import presence, upgrade
from studio.running.bootstrap import BASE
from studio.running.upgrade import BEFORE, UpgradeTrouble

# Writes down which version was asked for what; fails where its folder says so.
MANAGE = """
import sys
from pathlib import Path
here = Path(__file__).parent
version = (here / "studio" / "version").read_text()
with (here / ".data" / "asked").open("a") as file:
    file.write(f"{version}: {' '.join(sys.argv[1:])}\\n")
if sys.argv[1] == "backup":
    print("/somewhere/backups/studio-1.zip")
sys.exit(f"{sys.argv[1]} fails" if sys.argv[1] in (here / "studio" / "fails").read_text() else 0)
"""


def program(folder: Path, version: str, fails: str = "") -> Path:
    for name in ("studio", "practice", ".locks"):
        (folder / name).mkdir(parents=True)
    (folder / "manage.py").write_text(MANAGE)
    (folder / "pyproject.toml").write_text(version)
    (folder / "studio" / "version").write_text(version)
    (folder / "studio" / "fails").write_text(fails)
    return folder


@pytest.fixture
def base(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.delenv("STUDIO_DATA", raising=False)
    base = program(tmp_path / "program", "old")
    (base / "practice" / "only-in-old").touch()
    (base / ".data").mkdir()
    (base / ".data" / "studio.sqlite3").write_text("hers")
    (base / ".venv").mkdir()
    return base


def run(base: Path, source: Path) -> int:
    return upgrade.run(source, base, sys.executable)


def asked(base: Path) -> list[str]:
    path = base / ".data" / "asked"
    return path.read_text().splitlines() if path.exists() else []


def version(base: Path) -> str:
    return (base / "studio" / "version").read_text()


def left_over(base: Path) -> set[str]:
    return {path.name for path in base.iterdir() if path.name.startswith(".version")}


@pytest.mark.parametrize("kind", ["folder", "zip", "tar", "zip of a folder"])
def test_backup_then_files_then_tables(base: Path, tmp_path: Path, kind: str) -> None:
    new = program(tmp_path / "new" / "studio-manager", "new")
    source = new
    if kind == "zip":
        source = Path(shutil.make_archive(str(tmp_path / "a"), "zip", new))
    elif kind == "zip of a folder":
        source = Path(shutil.make_archive(str(tmp_path / "a"), "zip", new.parent))
    elif kind == "tar":
        source = tmp_path / "a.tar.gz"
        with tarfile.open(source, "w:gz") as packed:
            packed.add(new, "studio-manager")
    assert run(base, source) == 0
    assert asked(base) == ["old: backup", "new: upgrade"]
    assert version(base) == "new"
    assert not (base / "practice" / "only-in-old").exists()
    assert (base / ".data" / "studio.sqlite3").read_text() == "hers"
    assert (base / BEFORE / "studio" / "version").read_text() == "old"
    assert left_over(base) == {BEFORE}
    assert (new / "studio" / "version").exists()


def test_one_that_does_not_start_gives_the_old_one_back(base: Path, tmp_path: Path) -> None:
    new = program(tmp_path / "new", "new", fails="upgrade")
    with pytest.raises(UpgradeTrouble, match="one before is back"):
        run(base, new)
    assert asked(base) == ["old: backup", "new: upgrade", "old: restore studio-1.zip --yes"]
    assert version(base) == "old"
    assert (base / "practice" / "only-in-old").exists()
    assert left_over(base) <= {BEFORE}


def test_what_lies_beside_the_program_stays(
    base: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A data folder of her own choice, and a backup made where she stood; twice, for the second
    upgrade throws away what the first had set aside."""
    monkeypatch.setenv("STUDIO_DATA", str(base / "example"))
    (base / "example").mkdir()
    (base / "example" / "studio.sqlite3").write_text("hers")
    (base / "to-the-bank.zip.age").write_text("hers")
    for number in ("newer", "newest"):
        new = program(tmp_path / number, number)
        (new / "example").mkdir()  # one of the developer's
        assert run(base, new) == 0
        assert version(base) == number
        assert (base / "example" / "studio.sqlite3").read_text() == "hers"
        assert (base / "to-the-bank.zip.age").read_text() == "hers"


def test_a_data_folder_inside_the_program_is_refused(
    base: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("STUDIO_DATA", str(base / "studio" / "data"))
    with pytest.raises(UpgradeTrouble, match="lies inside the program"):
        run(base, program(tmp_path / "new", "new"))
    assert version(base) == "old"


def test_what_a_failed_version_brought_goes_with_it(base: Path, tmp_path: Path) -> None:
    new = program(tmp_path / "new", "new", fails="upgrade")
    (new / "LICENCE").touch()
    with pytest.raises(UpgradeTrouble, match="one before is back"):
        run(base, new)
    assert not (base / "LICENCE").exists()


def test_one_that_is_stopped_gives_the_old_one_back(
    base: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    manage = upgrade.manage

    def stopped(base: Path, python: str, *what: str) -> subprocess.CompletedProcess[str]:
        if what == ("upgrade",):
            raise KeyboardInterrupt  # as Ctrl+C does
        return manage(base, python, *what)

    monkeypatch.setattr(upgrade, "manage", stopped)
    with pytest.raises(UpgradeTrouble, match="one before is back"):
        run(base, program(tmp_path / "new", "new"))
    assert version(base) == "old"
    assert asked(base) == ["old: backup", "old: restore studio-1.zip --yes"]


@pytest.mark.skipif(not (BASE / ".git").exists(), reason="needs the repository")
def test_whatever_belongs_to_the_program_is_known() -> None:
    """A name that is missing would be left behind by every upgrade."""
    listed = subprocess.run(
        ["git", "ls-files"], cwd=BASE, capture_output=True, text=True, check=True
    )
    assert {name.split("/")[0] for name in listed.stdout.splitlines()} == set(upgrade.PROGRAM)


def test_where_the_data_cannot_be_put_back_it_says_what_there_is_and_the_way_back(
    base: Path, tmp_path: Path
) -> None:
    (base / "studio" / "fails").write_text("restore")
    with pytest.raises(UpgradeTrouble) as told:
        run(base, program(tmp_path / "new", "new", fails="upgrade"))
    said = str(told.value)
    assert "The version before is back. Its data is not" in said
    assert "all of it is in the backup made just before, studio-1.zip" in said
    assert "restore fails" in said
    assert said.endswith("put it in place with: python3 manage.py restore studio-1.zip")
    assert version(base) == "old"


def test_without_a_backup_nothing_is_changed(base: Path, tmp_path: Path) -> None:
    (base / "studio" / "fails").write_text("backup")
    with pytest.raises(UpgradeTrouble, match="nothing was changed"):
        run(base, program(tmp_path / "new", "new"))
    assert version(base) == "old"
    assert left_over(base) == set()


@pytest.mark.parametrize("stuck", ["practice", "pyproject.toml"])
@pytest.mark.parametrize("which", ["program", "new"])
def test_a_file_that_cannot_be_moved_leaves_the_old_one_whole(
    base: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, which: str, stuck: str
) -> None:
    """On Windows one that is open, for example."""
    move = shutil.move
    here = {"program": base, "new": tmp_path / "new"}[which]

    def fails(path: Path, to: Path) -> object:
        if path == here / stuck:
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return move(path, to)

    new = program(tmp_path / "new", "new")
    monkeypatch.setattr(upgrade, "program_in", lambda source, into: source)
    monkeypatch.setattr(shutil, "move", fails)
    with pytest.raises(UpgradeTrouble, match=f"{stuck} cannot be moved"):
        run(base, new)
    assert asked(base) == ["old: backup"]
    assert version(base) == "old"
    for whole in (base, new):
        assert {path.name for path in whole.iterdir()} >= set(upgrade.MUST_HAVE)
    assert (base / "practice" / "only-in-old").exists()


@pytest.mark.parametrize("source", ["nothing there", "a text", "a torn zip", "another program"])
def test_what_is_no_version_changes_nothing(base: Path, tmp_path: Path, source: str) -> None:
    path = tmp_path / "given"
    if source == "a text":
        path.write_text("Dear Marisol, here is the new version.")
    elif source == "a torn zip":
        whole = shutil.make_archive(str(tmp_path / "a"), "zip", program(tmp_path / "new", "new"))
        path.write_bytes(Path(whole).read_bytes()[:-40])
    elif source == "another program":
        path.mkdir()
        (path / "manage.py").touch()
    with pytest.raises(UpgradeTrouble):
        run(base, path)
    assert asked(base) == []
    assert version(base) == "old"
    assert left_over(base) == set()


def test_it_refuses_while_the_studio_is_open(base: Path, tmp_path: Path) -> None:
    with presence.at_work(base / ".data"), pytest.raises(presence.AtWork):
        run(base, program(tmp_path / "new", "new"))
    assert asked(base) == []


def test_it_needs_no_package(tmp_path: Path) -> None:
    """The Python that has none must be able to begin."""
    code = "import sys; sys.modules['django'] = None; import studio.running.upgrade"
    assert subprocess.run([sys.executable, "-S", "-c", code], check=False).returncode == 0

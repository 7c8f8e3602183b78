"""Setting itself up: what is installed when, and what is said when it cannot be."""

from __future__ import annotations

import ast
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from studio.running import bootstrap

BASE = Path(bootstrap.BASE)
# The Python below any virtual environment: what a teacher has before the first start.
PLAIN_PYTHON = sys._base_executable  # type: ignore[attr-defined]
PRINT_PREFIX = """
import sys
def execute_from_command_line(argv):
    print("ran", argv[1:], "in", sys.prefix)
"""


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    """A program without packages: empty locks, and a Django that only says where it runs."""
    shutil.copy(BASE / "manage.py", tmp_path)
    shutil.copytree(BASE / "studio" / "running", tmp_path / "studio" / "running")
    (tmp_path / "studio" / "__init__.py").touch()
    (tmp_path / "studio" / "settings.py").touch()
    (tmp_path / ".locks").mkdir()
    for lock in ("run", "test"):
        (tmp_path / ".locks" / f"{lock}.txt").write_text(f"# no packages for {lock}\n")
    django = tmp_path / "django" / "core" / "management"
    django.mkdir(parents=True)
    (django / "__init__.py").write_text(PRINT_PREFIX)
    return tmp_path


def manage(tree: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    kept = {name: value for name, value in os.environ.items() if name not in LEAKING}
    command = [PLAIN_PYTHON, "manage.py", *arguments]
    return subprocess.run(
        command, cwd=tree, env=kept, capture_output=True, text=True, timeout=120, check=False
    )


LEAKING = {"DJANGO_SETTINGS_MODULE", "PYTHONPATH", "STUDIO_RESTARTED", "VIRTUAL_ENV"}


def test_the_first_start_sets_up_and_later_ones_go_straight_through(tree: Path) -> None:
    first = manage(tree, "open", "--example")
    lines = first.stdout.splitlines()
    assert lines[0].startswith("First start: setting up")
    assert lines[-1] == f"ran ['open', '--example'] in {tree / '.venv'}"
    assert first.stderr == ""
    later = manage(tree, "check")
    assert later.stdout == f"ran ['check'] in {tree / '.venv'}\n"
    (tree / ".locks" / "run.txt").write_text("# another version\n")
    updated = manage(tree, "check").stdout.splitlines()
    assert updated[0] == "Installing the packages …"
    assert len(updated) == 3


def test_a_set_up_that_was_cut_short_is_made_again(tree: Path) -> None:
    venv = tree / ".venv"
    (venv / "bin").mkdir(parents=True)
    (venv / "pyvenv.cfg").write_text("home = /nowhere\n")
    (venv / "bin" / "python").symlink_to("/nowhere/python3")
    done = manage(tree, "check")
    assert done.stdout.splitlines()[-1] == f"ran ['check'] in {venv}"


def test_a_folder_that_is_no_environment_is_left_alone(tree: Path) -> None:
    (tree / ".venv").mkdir()
    (tree / ".venv" / "novel.txt").write_text("Chapter one")
    done = manage(tree, "check")
    assert done.returncode == 2
    assert "holds something else" in done.stderr
    assert (tree / ".venv" / "novel.txt").read_text() == "Chapter one"


def test_an_old_python_is_told_which_one_is_needed() -> None:
    pretend = (
        "import runpy, sys; sys.version_info = (3, 9, 2); sys.version = '3.9.2 (old)';"
        "runpy.run_path('manage.py', run_name='__main__')"
    )
    done = subprocess.run(
        [sys.executable, "-c", pretend], cwd=BASE, capture_output=True, text=True, check=False
    )
    assert done.returncode == 1
    assert "needs Python 3.11 or newer; this is 3.9.2." in done.stderr
    assert "Traceback" not in done.stderr


def test_an_old_python_can_read_the_file_that_tells_it() -> None:
    ast.parse((BASE / "manage.py").read_text(encoding="utf-8"), feature_version=(3, 7))


def test_a_python_without_venv_is_told_the_debian_package(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(bootstrap, "find_spec", lambda name: None)
    with pytest.raises(bootstrap.SetUpTrouble, match="sudo apt install python3-venv"):
        bootstrap.make_venv(tmp_path / ".venv")


@pytest.mark.parametrize(
    ("output", "words"),
    [
        ("The virtual environment was not created … ensurepip is not", "apt install python3-venv"),
        ("Error: [Errno 13] Permission denied: '/opt/x/.venv'", "cannot be written"),
        ("Error: something new", "Error: something new"),
    ],
)
def test_a_failed_environment_is_explained(tmp_path: Path, output: str, words: str) -> None:
    assert words in bootstrap.explain_venv(tmp_path / ".venv", output)


@pytest.mark.parametrize(
    ("output", "words"),
    [
        ("WARNING: Retrying … NewConnectionError('…')\nERROR: No matching", "no network"),
        (
            "ERROR: Could not find a version that satisfies the requirement asgiref==3.13.0 "
            "(from versions: none)\nERROR: No matching distribution found for asgiref==3.13.0",
            "no network",
        ),
        (
            "ERROR: Could not find a version … (from versions: 5.0, 6.0)\n"
            "ERROR: No matching distribution found for verovio==6.4.1",
            "verovio==6.4.1 is not made for Python",
        ),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM", "differs from the one"),
        ("OSError: [Errno 28] No space left on device", "The disk is full."),
        ("ERROR: Could not install: [Errno 13] Permission denied", "cannot be written"),
        ("a\n" * 50 + "ERROR: new trouble", "ERROR: new trouble"),
    ],
)
def test_a_failed_installation_is_explained_in_few_lines(output: str, words: str) -> None:
    explained = bootstrap.explain_pip(output)
    assert words in explained
    assert len(explained.splitlines()) <= 13


def test_an_environment_that_leads_nowhere_does_not_start_for_ever(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("STUDIO_RESTARTED", str(os.getpid()))
    with pytest.raises(bootstrap.SetUpTrouble, match="Remove that folder"):
        bootstrap.restart(tmp_path / ".venv", ["manage.py"])


def test_a_mac_is_shown_where_pango_lies(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DYLD_FALLBACK_LIBRARY_PATH", "/somewhere/lib")
    bootstrap.let_mac_find_pango()
    bootstrap.let_mac_find_pango()
    assert os.environ["DYLD_FALLBACK_LIBRARY_PATH"] == "/opt/homebrew/lib:/somewhere/lib"


@pytest.mark.parametrize("lock", ["run", "test"])
def test_the_locks_name_no_host_and_hash_every_package(lock: str) -> None:
    text = bootstrap.lock_file(lock).read_text()
    assert "://" not in text
    packages = text.replace("\\\n", " ").splitlines()
    assert all("--hash=sha256:" in line for line in packages if line and line[0] != "#")


def test_the_test_packages_contain_the_run_time_ones() -> None:
    """So that one environment serves both, and a test meets the versions a teacher runs."""
    run, test = (
        {
            line.split(" ")[0]
            for line in bootstrap.lock_file(lock).read_text().splitlines()
            if "==" in line
        }
        for lock in ("run", "test")
    )
    assert run <= test

"""`manage.py upgrade FILE`: a new version in the place of this one, or this one back. Standard
library only.

First a backup, made by the version that is there. Then the files change places, the new version
installs its packages and brings the tables up. If that fails or is stopped, the files change back
and the backup is put in place, so that the studio opens as before. What lies beside the program in
its folder (a data folder, a backup made there) stays where it is.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tarfile
import tempfile
import zipfile
from pathlib import Path
from typing import Final

from studio.running import environment, presence
from studio.running.bootstrap import BASE, say
from studio.running.trouble import Trouble

BEFORE: Final = ".version-before"
# What a version brings along; whatever else is in the folder is the teacher's.
PROGRAM: Final = frozenset(
    (".ci", ".gitignore", ".locks", ".pictures", "DEVELOPERS.md", "README.md", "manage.py")
    + ("practice", "pyproject.toml", "static", "studio", "templates", "tests")
)
# What belongs to an installation and is never taken from a new version.
STAYS: Final = frozenset({".data", ".venv", ".git", BEFORE})
MUST_HAVE: Final = ("manage.py", "pyproject.toml", "studio", "practice", ".locks")
MOST_BYTES: Final = 500_000_000
WITHIN: Final = "STUDIO_UPGRADING"


class UpgradeTrouble(Trouble):
    """The new version is not in place; the text says why and what is there now."""


def run(source: Path, base: Path = BASE, python: str = sys.executable) -> int:
    """Put the version in `source` (a zip, a tar or a folder) in the place of the one in `base`."""
    data = environment.folder("STUDIO_DATA", base / ".data")
    inside = data.relative_to(base).parts[:1] if data.is_relative_to(base) else ()
    if PROGRAM & set(inside):
        raise UpgradeTrouble(f"{data} lies inside the program. Move the data folder out of it.")
    with tempfile.TemporaryDirectory(prefix=".version-new-", dir=base) as made:
        new = program_in(source, Path(made))
        with presence.alone(data):
            kept = backup(base, python)
            came = change_places(base, new, base / BEFORE, PROGRAM)
            try:
                works = manage(base, python, "upgrade").returncode == 0
            except KeyboardInterrupt:
                works = False
        if works:
            say("The new version is in place. Open the studio as always.")
            return 0
    put_back(base, python, kept, PROGRAM | came)
    raise UpgradeTrouble(
        "The new version could not be started, so the one before is back, and the studio as it "
        "was. Nothing is lost."
    )


def program_in(source: Path, into: Path) -> Path:
    """The folder of the program, unpacked into `into`. Raises UpgradeTrouble for anything else."""
    try:
        if source.is_dir():
            found = source
        elif zipfile.is_zipfile(source):
            with zipfile.ZipFile(source) as archive:
                if sum(entry.file_size for entry in archive.infolist()) > MOST_BYTES:
                    raise UpgradeTrouble(f"{source} is too large for a version of this program.")
                archive.extractall(into / "unpacked")  # noqa: S202 (no name leads out)
            found = into / "unpacked"
        elif source.is_file() and tarfile.is_tarfile(source):
            with tarfile.open(source) as packed:
                packed.extractall(into / "unpacked", filter="data")
            found = into / "unpacked"
        else:
            raise UpgradeTrouble(f"{source} is no zip, tar or folder with a version of it.")
    except (OSError, ValueError, EOFError, zipfile.BadZipFile, tarfile.TarError) as error:
        raise UpgradeTrouble(
            f"{source} cannot be unpacked: {error}. Nothing was changed."
        ) from error
    inner = [path for path in found.iterdir() if path.name != "__MACOSX"]
    if len(inner) == 1 and inner[0].is_dir():
        found = inner[0]  # archives often hold one folder
    missing = [name for name in MUST_HAVE if not (found / name).exists()]
    if missing:
        raise UpgradeTrouble(
            f"{source} holds no version of this program: {', '.join(missing)} "
            f"{'is' if len(missing) == 1 else 'are'} missing. Nothing was changed."
        )
    if source.is_dir():  # a copy: what is moved must not be the teacher's own folder
        copied = into / "copied"
        shutil.copytree(found, copied, ignore=lambda _, names: STAYS & set(names))
        return copied
    return found


def backup(base: Path, python: str) -> str:
    """The file name of a fresh backup, or nothing where there is no studio yet."""
    done = manage(base, python, "backup")
    if done.returncode:
        raise UpgradeTrouble(f"No backup could be made, so nothing was changed.\n{done.stderr}")
    lines = done.stdout.splitlines()
    return Path(lines[0]).name if lines else ""


def change_places(base: Path, new: Path, before: Path, ours: frozenset[str]) -> frozenset[str]:
    """Move `ours` from `base` to `before` and what is in `new` to `base`, both or neither.

    What else is in `base` stays, also where `new` has something of that name. The names that came.
    """
    shutil.rmtree(before, ignore_errors=True)
    before.mkdir()
    held = {path.name for path in base.iterdir()}
    hers = STAYS | held - ours
    coming = [path for path in new.iterdir() if path.name not in hers]
    moves = [(base / name, before / name) for name in sorted(held & ours)]
    moves += [(path, base / path.name) for path in coming]
    done: list[tuple[Path, Path]] = []
    try:
        for here, there in moves:
            shutil.move(here, there)
            done.append((here, there))
    except OSError as error:  # a file that is open, or not ours
        for here, there in reversed(done):
            shutil.move(there, here)
        raise UpgradeTrouble(
            f"{error.filename or here} cannot be moved: {error.strerror or error}. The files are "
            "where they were."
        ) from error
    return frozenset(path.name for path in coming)


def put_back(base: Path, python: str, kept: str, ours: frozenset[str]) -> None:
    with tempfile.TemporaryDirectory(prefix=".version-failed-", dir=base) as aside:
        change_places(base, base / BEFORE, Path(aside) / "failed", ours)
    if not kept:
        return
    done = manage(base, python, "restore", kept, "--yes")
    if done.returncode:
        raise UpgradeTrouble(
            "The version before is back. Its data is not: the tables may be half those of the new "
            "version, so the studio stays shut. Nothing is lost: all of it is in the backup made "
            f"just before, {kept}. Once this is mended:\n{done.stderr.strip()}\n"
            f"put it in place with: python3 manage.py restore {kept}"
        )


def manage(base: Path, python: str, *arguments: str) -> subprocess.CompletedProcess[str]:
    """A command of the version that stands in `base` now; what it says is passed on."""
    environment_now = os.environ | {WITHIN: "yes"}
    environment_now.pop("STUDIO_RESTARTED", None)
    done = subprocess.run(
        [python, str(base / "manage.py"), *arguments],
        cwd=base,
        env=environment_now,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        print(done.stdout + done.stderr, file=sys.stderr)
    return done

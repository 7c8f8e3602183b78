"""A backup locked with a passphrase: an age file round the zip."""

from __future__ import annotations

import subprocess
import sys
import unicodedata
from pathlib import Path
from typing import Final

from django.utils.translation import gettext as _

from studio.backups.trouble import BackupTrouble
from studio.running.bootstrap import BASE

FIRST_LINE: Final = b"age-encryption.org/v1\n"
SUFFIX: Final = ".age"
# Locked and opened in memory, beside the server: about three times as much as the file is needed.
MOST_BYTES: Final = 512 * 1024**2
WRONG_PASSPHRASE: Final = 3
DAMAGED: Final = 4


class WrongPassphrase(BackupTrouble):
    """The file is locked with another passphrase."""


def is_sealed(path: Path) -> bool:
    with path.open("rb") as file:
        return file.read(len(FIRST_LINE)) == FIRST_LINE


def seal(source: Path, target: Path, passphrase: str) -> None:
    """Lock `source` into the new file `target`, 0600. Takes a second or two."""
    _run("lock", source, target, passphrase)


def unseal(source: Path, target: Path, passphrase: str) -> None:
    """Open a locked file into the new file `target`. Raises WrongPassphrase."""
    _run("open", source, target, passphrase)


def _run(what: str, source: Path, target: Path, passphrase: str) -> None:
    if source.stat().st_size > MOST_BYTES:
        said = _(
            "{file} is larger than 512 MB, too large to be locked or opened here. "
            "The program age does it: age -p, age -d."
        )
        raise BackupTrouble(said.format(file=source.name))
    typed = unicodedata.normalize("NFC", passphrase)
    command = [sys.executable, "-m", "studio.backups.age_file", what, str(source), str(target)]
    done = subprocess.run(  # noqa: S603 (our own module; the passphrase goes by standard input)
        command, cwd=BASE, input=typed.encode(), capture_output=True, check=False
    )
    if done.returncode == WRONG_PASSPHRASE:
        raise WrongPassphrase(_("That is not its passphrase. Capital letters and spaces count."))
    if done.returncode == DAMAGED:
        said = _("{file} is damaged or was not locked with a passphrase.")
        raise BackupTrouble(said.format(file=source.name))
    if done.returncode:
        target.unlink(missing_ok=True)
        last = done.stderr.decode(errors="replace").strip().splitlines()[-1:]
        said = _("{file} could not be locked or opened: {why}")
        raise BackupTrouble(said.format(file=source.name, why="".join(last)))

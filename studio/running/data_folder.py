"""The folder that holds everything a studio must not lose or show. Standard library only."""

import os
import secrets
from pathlib import Path

from studio.running.trouble import Trouble


class FolderTrouble(Trouble):
    """The data folder cannot be made or written; the text says what to do."""


def make(folder: Path) -> None:
    """Make the folder, readable by its owner alone."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise FolderTrouble(_sentence(folder, error)) from None


def secret_key(folder: Path) -> str:
    """The installation's secret key, made on first use. Two processes agree on one key."""
    path = folder / "secret-key"
    if not path.exists():
        make(folder)
        draft = folder / f"secret-key.{os.getpid()}"
        write_private(draft, secrets.token_urlsafe(64))
        try:
            os.link(draft, path)  # fails when another process was first; its key stands
        except FileExistsError:
            pass
        finally:
            draft.unlink()
    try:
        return path.read_text(encoding="ascii").strip()
    except OSError as error:
        raise FolderTrouble(f"{path} cannot be read: {error.strerror}.") from None


def write_private(path: Path, content: str) -> None:
    """Write a file that only its owner can read."""
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    except OSError as error:
        raise FolderTrouble(_sentence(path.parent, error)) from None
    with os.fdopen(descriptor, "w", encoding="utf-8") as file:
        file.write(content)
    path.chmod(0o600)


def _sentence(folder: Path, error: OSError) -> str:
    return (
        f"The data folder {folder} cannot be written ({error.strerror}). Make it writable, "
        "or choose another folder: STUDIO_DATA=/path/to/folder python3 manage.py open"
    )

"""Where a job's files lie: a folder of the data folder, which all processes of a studio share.

The database says what is drawn; a file nobody's row knows of is swept away.
"""

from __future__ import annotations

import os
import shutil
from contextlib import suppress
from pathlib import Path
from uuid import UUID

from django.conf import settings

PDF, ZIP = "all.pdf", "single-files.zip"


def root() -> Path:
    return Path(settings.DATA_DIR) / "printing"


def folder(job: UUID) -> Path:
    return root() / f"job-{job}"


def part(job: UUID, number: int) -> Path:
    return folder(job) / f"part-{number:04}.pdf"


def open_folder(job: UUID) -> None:
    """Makes the job's folder, closed to everybody else."""
    for path in (root(), folder(job)):
        path.mkdir(mode=0o700, parents=True, exist_ok=True)


def write(path: Path, content: bytes) -> None:
    """The whole file or none of it, readable by its owner alone."""
    draft = path.with_name(f"{path.name}.{os.getpid()}")
    descriptor = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
    draft.replace(path)


def is_there(job: UUID) -> bool:
    """Whether what was drawn lies on this computer."""
    return (folder(job) / PDF).is_file()


def drop_parts(job: UUID) -> None:
    for path in folder(job).glob("part-*"):
        path.unlink(missing_ok=True)


def drop(job: UUID) -> None:
    shutil.rmtree(folder(job), ignore_errors=True)


def jobs() -> set[UUID]:
    """The jobs that have a folder."""
    found = set()
    for path in root().glob("job-*"):
        with suppress(ValueError):  # a folder of somebody else's
            found.add(UUID(path.name.removeprefix("job-")))
    return found

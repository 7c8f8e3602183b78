"""A studio as one zip: names, limits, and the manifest that says what the zip must hold.

manifest.json, version 1: "format", "version", "made" (UTC), "studio" (its name), "rows" (by
model), "files" (SHA-256 and bytes of every other file). data/<model>.jsonl holds one row a line,
files/<model>/<number>.<ending> what a row keeps as bytes, tables/ and papers/
the same for people to read.
"""

from __future__ import annotations

import hashlib
import json
import re
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import IO, Any

from django.utils.translation import gettext as _

from studio.running.trouble import Trouble
from studio.web.zips import check_methods

FORMAT, VERSION = "studio-export", 1
MANIFEST, README = "manifest.json", "README.txt"
NAMES = re.compile(
    r"data/(?P<model>[a-z]+\.[a-z]+)\.jsonl|tables/[a-z-]+\.csv|"
    r"papers/[a-z]+\.[a-z]+/[0-9]{1,18}\.pdf|"
    r"files/(?P<of>[a-z]+\.[a-z]+)/(?P<number>[0-9]{1,18})(\.[a-z0-9]{1,12})?"
)
MOST_BYTES = 4 * 1024**3
MOST_MANIFEST = 64 * 1024**2
MOST_FILES = 200_000
MOST_LINE = 16 * 1024**2  # a row; the largest ones are sheets with their pictures
MOST_FILE = 32 * 1024**2  # what one row keeps as bytes
TIMES_SMALLER = 200  # rows of one kind are alike, but not more than this
PIECE = 1024**2


class ExportTrouble(Trouble):
    """An export cannot be made or taken in; the text says why. Nothing was changed."""


@dataclass(frozen=True)
class Manifest:
    studio: str
    made: datetime
    rows: dict[str, int]
    files: dict[str, tuple[str, int]]


def as_json(manifest: Manifest) -> str:
    content = {
        "format": FORMAT,
        "version": VERSION,
        "made": manifest.made.isoformat(),
        "studio": manifest.studio,
        "rows": manifest.rows,
        "files": {
            name: {"sha256": sha256, "bytes": size}
            for name, (sha256, size) in sorted(manifest.files.items())
        },
    }
    return json.dumps(content, indent=1, ensure_ascii=False)


@contextmanager
def opened(path: Path | IO[bytes], name: str) -> Iterator[tuple[zipfile.ZipFile, Manifest]]:
    """The zip and its manifest, found whole: every file there, none foreign, sums right.

    Raises ExportTrouble with the file's name, which nothing is ever written to.
    """
    try:
        with zipfile.ZipFile(path) as archive:
            check_methods(archive)
            manifest = _manifest(archive, name)
            _check_names(archive, manifest, name)
            for part in manifest.files:
                _check_sum(archive, part, manifest, name)
            yield archive, manifest
    except (zipfile.BadZipFile, EOFError, NotImplementedError, ValueError, OSError) as error:
        said = _("“{file}” is damaged or no zip: it cannot be opened.").format(file=name)
        raise ExportTrouble(said) from error
    except zipfile.zlib.error as error:  # type: ignore[attr-defined]
        said = _("“{file}” is damaged: it cannot be unpacked.").format(file=name)
        raise ExportTrouble(said) from error


def _manifest(archive: zipfile.ZipFile, name: str) -> Manifest:
    entries = archive.infolist()
    named = [entry for entry in entries if entry.filename == MANIFEST]
    if len(named) != 1 or named[0].file_size > MOST_MANIFEST:
        said = _("“{file}” is no export of a studio: it has no {part}.")
        raise ExportTrouble(said.format(file=name, part=MANIFEST))
    try:
        content = json.loads(_read(archive, MANIFEST, name))
        if content["format"] != FORMAT:
            raise ValueError(FORMAT)
        if type(content["version"]) is not int or content["version"] < 1:
            raise ValueError("version")
        if content["version"] > VERSION:
            said = _(
                "“{file}” was made by a newer version of the program "
                "(format {theirs}; this one reads {ours}). Bring the program up."
            )
            raise ExportTrouble(said.format(file=name, theirs=content["version"], ours=VERSION))
        return Manifest(
            studio=str(content["studio"])[:200],
            made=datetime.fromisoformat(content["made"]),
            rows={str(model): _count(rows) for model, rows in content["rows"].items()},
            files={
                str(part): (str(said["sha256"]), _count(said["bytes"]))
                for part, said in content["files"].items()
            },
        )
    except (KeyError, ValueError, TypeError, AttributeError, RecursionError) as error:
        said = _("“{file}” is no export of a studio: {part} is wrong.")
        raise ExportTrouble(said.format(file=name, part=MANIFEST)) from error


def _count(value: Any) -> int:
    if type(value) is not int or value < 0:
        raise ValueError(value)
    return value


def _check_names(archive: zipfile.ZipFile, manifest: Manifest, name: str) -> None:
    """Only names of ours, each once, exactly those of the manifest, and no bomb."""
    found = [entry.filename for entry in archive.infolist() if entry.filename != MANIFEST]
    for part in (*found, *manifest.files):
        if part != README and not NAMES.fullmatch(part):
            said = _("“{file}” holds “{part}”, which no export has.")
            raise ExportTrouble(said.format(file=name, part=part[:60]))
    if len(found) != len(set(found)):
        raise ExportTrouble(_("“{file}” holds the same file twice.").format(file=name))
    if missing := sorted(set(manifest.files) - set(found)):
        raise _incomplete(name, missing[0])
    if foreign := sorted(set(found) - set(manifest.files)):
        said = _("“{file}” holds {part}, of which its manifest knows nothing.")
        raise ExportTrouble(said.format(file=name, part=foreign[0]))
    packed = sum(entry.compress_size for entry in archive.infolist())
    size = sum(size for _, size in manifest.files.values())
    too_tight = size > PIECE and size > TIMES_SMALLER * packed
    if size > MOST_BYTES or len(found) > MOST_FILES or too_tight:
        said = _("“{file}” would unpack to more than a studio can hold.")
        raise ExportTrouble(said.format(file=name))


def _incomplete(name: str, part: str) -> ExportTrouble:
    said = _("“{file}” is not complete: {part} is missing.")
    return ExportTrouble(said.format(file=name, part=part))


def _check_sum(archive: zipfile.ZipFile, part: str, manifest: Manifest, name: str) -> None:
    """Read one file, never more of it than the manifest says, and compare its SHA-256."""
    sha256, size = manifest.files[part]
    digest, seen = hashlib.sha256(), 0
    with _part(archive, part, name) as file:
        while piece := file.read(PIECE):
            seen += len(piece)
            if seen > size:
                break
            digest.update(piece)
    if seen != size or digest.hexdigest() != sha256:
        said = _("“{file}” is damaged: {part} is not what was put into it.")
        raise ExportTrouble(said.format(file=name, part=part))


def lines(archive: zipfile.ZipFile, part: str, name: str) -> Iterator[tuple[int, dict[str, Any]]]:
    """Number and content of each line, one at a time."""
    with _part(archive, part, name) as file:
        number = 0
        while line := file.readline(MOST_LINE + 1):
            number += 1
            if len(line) > MOST_LINE:
                said = _("Line {line} of {part} is too long.")
                raise ExportTrouble(said.format(line=number, part=part))
            try:
                content = json.loads(line, parse_constant=_no_number)
            except (ValueError, RecursionError) as error:
                said = _("Line {line} of {part} is no JSON.")
                raise ExportTrouble(said.format(line=number, part=part)) from error
            if not isinstance(content, dict):
                said = _("Line {line} of {part} is no row.")
                raise ExportTrouble(said.format(line=number, part=part))
            yield number, content


def content_of(archive: zipfile.ZipFile, part: str, manifest: Manifest, name: str) -> bytes:
    """One file whole, which is what a row keeps."""
    if part not in manifest.files or not part.startswith("files/"):
        raise _incomplete(name, part[:60])
    if manifest.files[part][1] > MOST_FILE:
        raise ExportTrouble(_("{part} in “{file}” is too large.").format(part=part, file=name))
    return _read(archive, part, name)


def _read(archive: zipfile.ZipFile, part: str, name: str) -> bytes:
    with _part(archive, part, name) as file:
        return file.read()


def _part(archive: zipfile.ZipFile, part: str, name: str) -> IO[bytes]:
    try:
        return archive.open(part)
    except RuntimeError as error:  # zipfile's word for a password
        said = _("“{file}” is locked with a password. Zip it anew without.").format(file=name)
        raise ExportTrouble(said) from error


def _no_number(constant: str) -> Any:
    raise ValueError(constant)

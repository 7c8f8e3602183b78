"""A backup as one file: a zip of the database, the secret key, and a manifest of the two.

manifest.json, format 1: "format", "made" (UTC), "studios", "tables" (rows of each table),
"migrations" (which version wrote it), "files" (SHA-256 and bytes of the other two).
"""

from __future__ import annotations

import hashlib
import json
import os
import struct
import zipfile
import zlib
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Any

from django.utils.translation import gettext as _

from studio.backups.trouble import BackupTrouble
from studio.web.zips import check_methods

FORMAT = 1
DATABASE, KEY, MANIFEST = "studio.sqlite3", "secret-key", "manifest.json"
MOST_BYTES = 4 * 1024**3
MOST_SMALL_BYTES = 1024**2
PIECE = 1024**2
# What zipfile raises for files that are no good; ValueError for an offset before their start.
BROKEN = (zipfile.BadZipFile, zlib.error, struct.error, EOFError, NotImplementedError, ValueError)
KEY_LENGTHS = range(50, 1025)


@dataclass(frozen=True)
class Manifest:
    made: datetime
    studios: int
    tables: dict[str, int]
    migrations: frozenset[str]
    files: dict[str, tuple[str, int]]


def write(path: Path, database: Path, key: str, manifest: Manifest) -> None:
    """Write the zip so that only its owner can read it, and read it back; 0600, synced to disk."""
    descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=4) as archive:
            archive.writestr(MANIFEST, _as_json(manifest))
            archive.writestr(KEY, key)
            archive.write(database, DATABASE)
        file.flush()
        os.fsync(file.fileno())
    with zipfile.ZipFile(path) as archive:
        for name in (KEY, DATABASE):
            _check_piecewise(archive, name, manifest, None)


def described(database: Path, key: str, made: datetime, **known: Any) -> Manifest:
    """The manifest of a database file and its key."""
    with database.open("rb") as file:
        sha256 = hashlib.file_digest(file, "sha256").hexdigest()
    files = {
        DATABASE: (sha256, database.stat().st_size),
        KEY: (hashlib.sha256(key.encode()).hexdigest(), len(key.encode())),
    }
    return Manifest(made=made, files=files, **known)


def read_manifest(path: Path) -> Manifest:
    """What the file says it holds. Only its few names are looked at, and none is unpacked."""
    try:
        with zipfile.ZipFile(path) as archive:
            check_methods(archive)
            return _manifest(archive)
    except (*BROKEN, OSError) as error:
        said = _("{file} is no backup: it cannot be opened.").format(file=path.name)
        raise BackupTrouble(said) from error


def unpack(path: Path, database: Path) -> tuple[Manifest, str]:
    """Put the database at `database`, checked against the manifest; the manifest and the key."""
    try:
        with zipfile.ZipFile(path) as archive:
            check_methods(archive)
            manifest = _manifest(archive)
            with database.open("xb") as file:
                _check_piecewise(archive, DATABASE, manifest, file)
            _check_piecewise(archive, KEY, manifest, None)
            key = archive.read(KEY).decode("ascii").strip()
    except BROKEN as error:
        said = _("{file} is damaged: it cannot be unpacked.").format(file=path.name)
        raise BackupTrouble(said) from error
    if len(key) not in KEY_LENGTHS:
        raise BackupTrouble(_("{file} is damaged: its key is no key.").format(file=path.name))
    return manifest, key


def _manifest(archive: zipfile.ZipFile) -> Manifest:
    name = _name(archive)
    try:
        entry = archive.getinfo(MANIFEST)
        if entry.file_size > MOST_SMALL_BYTES:
            raise ValueError(MANIFEST)
        content = json.loads(archive.read(entry))
        if content["format"] != FORMAT:
            newer = _(
                "{file} was made by a newer version of the program. Bring the program up first."
            )
            raise BackupTrouble(newer.format(file=name))
        made = datetime.fromisoformat(content["made"]).astimezone(UTC)
        return Manifest(
            made=made,
            studios=int(content["studios"]),
            tables={str(table): int(rows) for table, rows in content["tables"].items()},
            migrations=frozenset(map(str, content["migrations"])),
            files={
                part: (
                    str(content["files"][part]["sha256"]),
                    int(content["files"][part]["bytes"]),
                )
                for part in (DATABASE, KEY)
            },
        )
    # A RuntimeError is zipfile's word for a password, and a recursion that goes too deep.
    except (KeyError, ValueError, TypeError, AttributeError, RuntimeError) as error:
        said = _("{file} is no backup of a studio.").format(file=name)
        raise BackupTrouble(said) from error


def _name(archive: zipfile.ZipFile) -> str:
    return Path(archive.filename).name if archive.filename else _("the file")


def _check_piecewise(
    archive: zipfile.ZipFile, part: str, manifest: Manifest, into: IO[bytes] | None
) -> None:
    """Read one part, never more of it than the manifest says, and compare its SHA-256."""
    name = _name(archive)
    sha256, size = manifest.files[part]
    if part not in archive.namelist() or size > (MOST_BYTES if part == DATABASE else PIECE):
        said = _("{file} is no backup of a studio: {part} is missing or too large.")
        raise BackupTrouble(said.format(file=name, part=part))
    digest, seen = hashlib.sha256(), 0
    try:
        with archive.open(part) as file:
            while piece := file.read(PIECE):
                seen += len(piece)
                if seen > size:
                    break
                digest.update(piece)
                if into:
                    into.write(piece)
    except RuntimeError as error:  # zipfile's word for a password
        said = _("{file} is locked with a password. Unpack it, zip it anew.").format(file=name)
        raise BackupTrouble(said) from error
    if seen != size or digest.hexdigest() != sha256:
        said = _("{file} is damaged: {part} is not what was put into it.")
        raise BackupTrouble(said.format(file=name, part=part))


def _as_json(manifest: Manifest) -> str:
    content = {
        "format": FORMAT,
        "made": manifest.made.isoformat(),
        "studios": manifest.studios,
        "tables": manifest.tables,
        "migrations": sorted(manifest.migrations),
        "files": {
            name: {"sha256": sha256, "bytes": size}
            for name, (sha256, size) in manifest.files.items()
        },
    }
    return json.dumps(content, indent=1)

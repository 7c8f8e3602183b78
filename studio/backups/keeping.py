"""The folder of backups: making them, finding them, letting old ones go."""

from __future__ import annotations

import filecmp
import logging
import os
import re
import shutil
import sqlite3
import tempfile
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from pathlib import Path

from django.conf import settings
from django.db import DEFAULT_DB_ALIAS, DatabaseError, connections
from django.utils.translation import gettext as _

from studio import clock
from studio.access.models import Studio
from studio.backups import archive, sealing, snapshot, thinning
from studio.backups.trouble import BackupTrouble
from studio.record.models import By, What
from studio.record.noting import note_everywhere
from studio.running import data_folder, presence
from studio.running.faults import Fault, fault_of
from studio.running.sweeping import sweep
from studio.running.trouble import Trouble

MOST_TOGETHER = 2 * 1024**3
LOOK_EVERY_SECONDS = 15 * 60
OLD = timedelta(days=2)
UNFINISHED = ".unfinished-"
DAILY_LOCK = "daily-backup"
NAME = re.compile(r"studio-(\d{8}T\d{6})Z-([a-z-]+)\.zip")
log = logging.getLogger(__name__)


class Why(StrEnum):
    DAILY = "daily"
    BY_HAND = "by-hand"
    UPGRADE = "before-upgrade"
    RESTORE = "before-restore"
    BROUGHT = "brought"


@dataclass(frozen=True)
class Backup:
    """A file in the folder; moment and reason are those of its name."""

    path: Path
    moment: datetime
    why: Why

    @property
    def name(self) -> str:
        return self.path.name

    @property
    def bytes(self) -> int:
        return self.path.stat().st_size


def folder() -> Path:
    return Path(settings.DATA_DIR) / "backups"


def all_backups() -> list[Backup]:
    """What the folder holds, newest first; other files in it are left alone."""
    if not folder().is_dir():
        return []
    found = [backup for path in folder().iterdir() if (backup := _named(path))]
    return sorted(found, key=lambda backup: (backup.moment, backup.name), reverse=True)


def age_of_last() -> timedelta | None:
    """Since the last one made here; moments to come, left by a wrong clock, count for nothing."""
    now = clock.now()
    made = [backup.moment for backup in all_backups() if backup.why != Why.BROUGHT]
    return min((now - moment for moment in made if moment <= now), default=None)


def find(name: str) -> Backup | None:
    """The backup of that name, which is never a path."""
    return next((backup for backup in all_backups() if backup.name == name), None)


def _named(path: Path) -> Backup | None:
    match = NAME.fullmatch(path.name)
    if match is None or match[2] not in set(Why) or not path.is_file():
        return None
    try:
        moment = datetime.strptime(match[1], "%Y%m%dT%H%M%S").replace(tzinfo=UTC)
    except ValueError:
        return None
    return Backup(path, moment, Why(match[2]))


def make(why: Why) -> Backup:
    """A new backup in the folder, checked; afterwards the old ones are thinned."""
    with told(), workshop() as shop:
        made = clock.now().astimezone(UTC)
        draft = shop / "new.zip"
        write_to(draft, made)
        backup = _put(draft, made, why)
    thin()
    return backup


def make_at(path: Path, passphrase: str = "") -> Path:
    """A new backup in a file of the teacher's choice, which must not exist; locked on demand."""
    if path.exists():
        raise BackupTrouble(_("{file} exists already; choose another name.").format(file=path))
    with told(), workshop() as shop:
        draft = shop / "new.zip"
        write_to(draft, clock.now().astimezone(UTC))
        if passphrase:
            draft = sealed(draft, shop, passphrase)
        shutil.copyfile(draft, path)
        path.chmod(0o600)
    return path


def write_to(draft: Path, made: datetime) -> None:
    database = draft.with_suffix(".sqlite3")
    snapshot.take(database)
    tables = snapshot.counts_in(database)
    manifest = archive.described(
        database,
        settings.SECRET_KEY,
        made,
        studios=tables.get("studio_studio", 0),
        tables=tables,
        migrations=snapshot.migrations_in(database),
    )
    archive.write(draft, database, settings.SECRET_KEY, manifest)
    database.unlink()


def sealed(backup: Path, shop: Path, passphrase: str) -> Path:
    """The backup locked with a passphrase, in the workshop, opened once to see that it opens."""
    locked, again = shop / f"{backup.name}{sealing.SUFFIX}", shop / "again.zip"
    sealing.seal(backup, locked, passphrase)
    sealing.unseal(locked, again, passphrase)
    if not filecmp.cmp(backup, again, shallow=False):
        raise BackupTrouble(
            _("The locked backup did not open again to the same. Nothing was kept.")
        )
    again.unlink()
    return locked


def opened(path: Path, shop: Path, passphrase: str) -> Path:
    """The backup itself, unlocked in the workshop if it is locked. Raises WrongPassphrase."""
    if not sealing.is_sealed(path):
        return path
    if not passphrase:
        raise sealing.WrongPassphrase(_("It is locked. Type its passphrase."))
    plain = shop / "opened.zip"
    sealing.unseal(path, plain, passphrase)
    return plain


def bring(pieces: Iterable[bytes], passphrase: str = "") -> Backup:
    """Take a file from elsewhere into the folder, under today's name, once it was found whole."""
    with told(), workshop() as shop:
        draft, database = shop / "brought.zip", shop / archive.DATABASE
        with draft.open("xb") as file:
            file.writelines(pieces)
        draft.chmod(0o600)
        draft = opened(draft, shop, passphrase)
        archive.unpack(draft, database)
        snapshot.check(database)
        return _put(draft, clock.now().astimezone(UTC), Why.BROUGHT)


def _put(draft: Path, made: datetime, why: Why) -> Backup:
    """Give a finished file its name; a name that is taken moves it on by a second."""
    for later in range(60):
        moment = made.replace(microsecond=0) + timedelta(seconds=later)
        path = folder() / f"studio-{moment:%Y%m%dT%H%M%S}Z-{why}.zip"
        if any(other.moment == moment for other in all_backups()):
            continue
        os.replace(draft, path)
        return Backup(path, moment, why)
    said = _("{folder} holds sixty backups of this minute. Wait a little.")
    raise BackupTrouble(said.format(folder=folder()))


def thin() -> None:
    """Let go what stands too close together, then the oldest when all are too large together."""
    backups, now = all_backups(), clock.now().astimezone(UTC)
    kept = thinning.kept([backup.moment for backup in backups], now.date())
    staying = [backup for backup in backups if backup.moment in kept]
    # Those of days to come, made by a wrong clock, are the first to give way.
    staying.sort(key=lambda backup: backup.moment > now)
    fitting = thinning.fitting([backup.bytes for backup in staying], MOST_TOGETHER)
    stay = {backup.name for backup in staying[:fitting]}
    for backup in backups:
        if backup.name not in stay:
            backup.path.unlink(missing_ok=True)
    _sweep()


def _sweep() -> None:
    """Throw away what a process that was killed left unfinished."""
    yesterday = clock.now().timestamp() - 24 * 60 * 60
    for left in folder().glob(f"{UNFINISHED}*"):
        if left.stat().st_mtime < yesterday:
            shutil.rmtree(left, ignore_errors=True)


def before_upgrade() -> Backup | None:
    """A backup before the tables change; an empty database needs none."""
    if "studio_studio" not in connections[DEFAULT_DB_ALIAS].introspection.table_names():
        return None
    return make(Why.UPGRADE)


def make_if_due() -> Backup | None:
    """Today's backup, unless one was made of late, another process makes it, or no studio is."""
    if not _is_due():
        return None
    with presence.first(Path(settings.DATA_DIR), DAILY_LOCK) as held:
        # Asked again: another process may have made it and let go in between.
        return make(Why.DAILY) if held and _is_due() else None


def _is_due() -> bool:
    moments = [backup.moment for backup in all_backups() if backup.why != Why.BROUGHT]
    return thinning.is_due(moments, clock.now()) and Studio.objects.exists()


def keep_daily(stop: threading.Event) -> threading.Thread:
    """Make each day's backup in the background, until `stop` is set; begins at once."""
    thread = threading.Thread(target=_daily, args=[stop], name="daily-backup", daemon=True)
    thread.start()
    return thread


def _daily(stop: threading.Event) -> None:
    while True:
        try:
            made = make_if_due()
            if made:
                note_everywhere(What.BACKUP_MADE, made.name, by=By.PROGRAM)
                sweep()
        except (Trouble, DatabaseError, OSError) as trouble:
            # Ended in a hurry, the process takes its unfinished folders along: nothing to tell.
            if not stop.is_set():
                # no words: for the log
                log.error("No backup could be made today: %s", trouble)
        finally:
            connections.close_all()
        if stop.wait(LOOK_EVERY_SECONDS):
            return


@contextmanager
def workshop() -> Iterator[Path]:
    """A folder for unfinished files beside the finished ones; gone afterwards."""
    data_folder.make(folder())
    with tempfile.TemporaryDirectory(prefix=UNFINISHED, dir=folder()) as made:
        yield Path(made)


@contextmanager
def told() -> Iterator[None]:
    """What the disk or the database refuses, in words."""
    try:
        yield
    except (sqlite3.DatabaseError, OSError) as error:
        raise BackupTrouble(_refused(error)) from error


def _refused(error: sqlite3.DatabaseError | OSError) -> str:
    fault = fault_of(error)
    if fault is Fault.FULL:
        said = _("The disk with {folder} is full. Make room; no backup was made.")
        return said.format(folder=folder())
    if isinstance(error, OSError):
        said = _("{file} cannot be written ({why}). No backup was made.")
        return said.format(file=error.filename or folder(), why=error.strerror)
    live = snapshot.live_file()
    # Asked to copy a damaged file, SQLite may say that it cannot open the copy.
    torn = fault is Fault.AWAY and live is not None and live.exists() and snapshot.is_damaged(live)
    if fault is Fault.DAMAGED or torn:
        said = _(
            "{file} is damaged, so no backup was made of it. "
            "Put the last backup back: python3 manage.py restore"
        )
        return said.format(file=live)
    return _("{file} cannot be read: {why}. No backup was made.").format(file=live, why=error)

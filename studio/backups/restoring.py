"""A backup put in the place of the studio as it is now, after a look at what will change."""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import DEFAULT_DB_ALIAS, DatabaseError, connections, transaction
from django.utils.translation import gettext as _

from studio import clock
from studio.backups import archive, aside, carrying, copying, keeping, sides, snapshot
from studio.backups.archive import Manifest
from studio.backups.keeping import Backup, Why, told
from studio.backups.trouble import BackupTrouble
from studio.export.rules import all_rules
from studio.record.models import RecordEntry
from studio.running import data_folder


@dataclass(frozen=True)
class Change:
    """How many of one kind there are now and were then; None: this cannot be told."""

    what: str
    now: int | None
    then: int


@dataclass(frozen=True)
class Preview:
    made: datetime
    studios: int
    changes: list[Change]
    other_key: bool
    older: int

    @property
    def differing(self) -> list[Change]:
        return [change for change in self.changes if change.now != change.then]

    @property
    def same(self) -> int:
        return len(self.changes) - len(self.differing)


def preview(path: Path) -> Preview:
    """What putting this backup in place would change; nothing is changed yet."""
    with told(), keeping.workshop() as shop:
        manifest, key, older = _ready(path, shop / archive.DATABASE)
    return Preview(
        made=manifest.made,
        studios=manifest.studios,
        changes=_changes(_counts_now(), manifest.tables),
        other_key=key != settings.SECRET_KEY,
        older=older,
    )


def restore(path: Path, *, at_most_one_studio: bool = False) -> Backup | None:
    """Put the backup in place; what was there is kept first and returned.

    None where it was too damaged for a backup, or a newer version's: then its file stays beside the
    new one, renamed, or its tables in a schema of their own.
    Nothing is changed unless the backup could be read, checked and brought up to this version.
    """
    with told(), keeping.workshop() as shop:
        staged = shop / archive.DATABASE
        key, older = _ready(path, staged)[1:]
        if at_most_one_studio and snapshot.counts_in(staged)["studio_studio"] > 1:
            raise BackupTrouble(_("It holds several studios. Put it back from the command line."))
        if older:
            with sides.file_beside(staged) as alias:
                sides.bring_up(alias)
        if key == settings.SECRET_KEY:
            with sides.file_beside(staged) as alias:
                carrying.add_lines(alias, carrying.later_lines(alias))
        safety = _keep_first()
        _pour(staged, kept=safety is not None)
        _take_key(key)
    return safety


def in_words(path: Path, safety: Backup | None) -> str:
    """For the record: what was put in place, and the way back."""
    if safety is None:
        return path.name
    return _("{file}; the way back: {kept}").format(file=path.name, kept=safety.name)


def _ready(path: Path, staged: Path) -> tuple[Manifest, str, int]:
    """Unpack and check; the manifest, the key, and how many steps behind this version it is."""
    manifest, key = archive.unpack(path, staged)
    snapshot.check(staged)
    none = _("{file} is no backup of a studio.").format(file=path.name)
    with sides.file_beside(staged) as alias:
        try:
            unknown = sides.unknown_migrations(alias)
            older = sides.waiting_migrations(alias)
        except DatabaseError as error:
            raise BackupTrouble(none) from error
    if unknown:
        said = _(
            "{file} was made by a newer version of the program ({version}). "
            "Bring the program up to that version first."
        )
        raise BackupTrouble(said.format(file=path.name, version=unknown[-1]))
    if "studio_studio" not in snapshot.counts_in(staged):
        raise BackupTrouble(none)
    return manifest, key, older


def _counts_now() -> dict[str, int] | None:
    try:
        return copying.counts(DEFAULT_DB_ALIAS)
    except DatabaseError:
        return None


def _changes(now: dict[str, int] | None, then: dict[str, int]) -> list[Change]:
    """The record is left away: its numbers say nothing to a teacher."""
    names = {
        rule.model._meta.db_table: str(rule.many)
        for rule in all_rules()
        if rule.model is not RecordEntry
    }
    changes = [
        Change(what, now.get(table, 0) if now is not None else None, then.get(table, 0))
        for table, what in names.items()
    ]
    return [change for change in changes if change.now or change.then]


def _keep_first() -> Backup | None:
    """A backup of what is there now; a damaged file is put aside instead, whole."""
    live = snapshot.live_file()
    if live is not None and not live.exists():
        return None
    try:
        return keeping.make(Why.RESTORE)
    except (BackupTrouble, DatabaseError) as trouble:
        why = trouble.__cause__ if isinstance(trouble, BackupTrouble) else trouble
        if live is None and isinstance(why, DatabaseError) and _is_ahead():
            return None
        if live is None or not isinstance(why, sqlite3.DatabaseError):
            raise
        if not snapshot.is_damaged(live):
            raise  # no room, or somebody writes; nothing may be put aside for that
    connections[DEFAULT_DB_ALIAS].close()
    stamp = f"{clock.now():%Y%m%dT%H%M%SZ}"
    for part in ("", "-wal", "-shm"):
        piece = live.with_name(live.name + part)
        if piece.exists():
            os.replace(piece, live.with_name(f"damaged-{stamp}-{live.name}{part}"))
    return None


def _is_ahead() -> bool:
    return bool(sides.unknown_migrations(DEFAULT_DB_ALIAS))


def _pour(staged: Path, *, kept: bool) -> None:
    """Replace the live rows in one transaction: other connections see all of it or nothing."""
    live = snapshot.live_file()
    if live is None:
        _pour_into_tables(staged, kept=kept)
        return
    live.touch(0o600)
    with (
        closing(snapshot.opened(staged)) as source,
        closing(snapshot.opened(live, "rw")) as target,
    ):
        source.backup(target)


def _pour_into_tables(staged: Path, *, kept: bool) -> None:
    """On PostgreSQL. Tables of a newer version are gone afterwards, unless nothing kept them."""
    ahead = _is_ahead()
    try:
        if not ahead and sides.waiting_migrations(DEFAULT_DB_ALIAS):  # a version behind
            sides.bring_up(DEFAULT_DB_ALIAS)
        with transaction.atomic():
            name = aside.put_aside(DEFAULT_DB_ALIAS) if ahead else ""
            if ahead:
                sides.bring_up(DEFAULT_DB_ALIAS)
                connections[DEFAULT_DB_ALIAS].check_constraints()
            with sides.file_beside(staged) as alias:
                copying.copy_all(alias, DEFAULT_DB_ALIAS)
            if ahead and kept:
                aside.throw_away(DEFAULT_DB_ALIAS, name)
    except DatabaseError as error:
        said = _("Nothing was changed: the database refuses the backup: {why}")
        raise BackupTrouble(said.format(why=str(error).splitlines()[0])) from error


def _take_key(key: str) -> None:
    """The key of the backup becomes the studio's: private addresses are made from it."""
    if key == settings.SECRET_KEY:
        return
    if os.environ.get("STUDIO_SECRET_KEY"):
        return  # the operator's own; the preview has told
    kept = Path(settings.DATA_DIR) / archive.KEY
    draft = kept.with_name(f"{kept.name}.{os.getpid()}")
    data_folder.write_private(draft, key)
    if kept.exists():
        shutil.copy2(kept, kept.with_name(f"{kept.name}.before-restore"))
    os.replace(draft, kept)
    settings.SECRET_KEY = key

"""From an empty folder to a database that fits this version, and an example studio on demand."""

import logging
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from django.conf import settings
from django.contrib.auth.models import User
from django.core.management import call_command
from django.db import DatabaseError, OperationalError, connection
from django.db.migrations.executor import MigrationExecutor

from studio.access import tickets
from studio.access.models import Studio
from studio.running import data_folder
from studio.running.faults import Fault, fault_of
from studio.running.sweeping import sweep
from studio.running.tidying import give_back_room
from studio.running.trouble import Trouble

log = logging.getLogger(__name__)


class DatabaseTrouble(Trouble):
    """The database cannot be used; the text says what to do."""


@dataclass(frozen=True)
class ExampleSignIn:
    """How to get into the example: by its note in the data folder, or at once by a ticket."""

    note: Path
    email: str
    password: str
    token: str


class Kept(Protocol):
    """A backup, by the name it is restored with."""

    @property
    def name(self) -> str: ...


def prepare_database(before_change: Callable[[], Kept | None]) -> bool:
    """Bring the tables up to this version, after `before_change`; whether they were changed."""
    try:
        executor = MigrationExecutor(connection)
        if newer := unknown_steps(executor):
            raise DatabaseTrouble(_too_new(newer[-1]))
        waiting = bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))
        if waiting:
            _change_tables(before_change())
        for command in settings.START_COMMANDS:
            call_command(command, verbosity=0)
        sweep()
        if waiting:
            give_back_room(connection)
    except DatabaseError as error:
        raise DatabaseTrouble(_sentence(error)) from error
    return waiting


def unknown_steps(executor: MigrationExecutor) -> list[str]:
    """Steps the database has taken and this version does not have, by their names."""
    ours = executor.loader.disk_migrations or {}
    apps = {app for app, _ in ours}
    replaced = {old for migration in ours.values() for old in migration.replaces}
    return sorted(
        f"{app}.{name}"
        for app, name in executor.loader.applied_migrations
        if app in apps and (app, name) not in ours and (app, name) not in replaced
    )


def _change_tables(kept: Kept | None) -> None:
    try:
        call_command("migrate", interactive=False, verbosity=0)
    except Exception as error:
        if isinstance(error, DatabaseError) and _is_out_of_reach(error):
            raise
        # no words: for the log
        log.exception("The tables could not be changed")
        raise DatabaseTrouble(_half_way(error, kept)) from error


def _is_out_of_reach(error: DatabaseError) -> bool:
    """Whether the next start may do better: nothing is wrong with the rows."""
    if connection.vendor == "sqlite":
        return fault_of(error) is not None
    return isinstance(error, OperationalError)


def _half_way(error: Exception, kept: Kept | None) -> str:
    why = (str(error).splitlines() or [type(error).__name__])[0]
    said = (
        f"The tables could not be changed to those of this version: {why}\n"
        "Some of them may be changed already, so the studio stays shut. "
    )
    if kept is None:
        return said + "There was nothing in it yet."
    return said + (
        f"Nothing is lost: the backup {kept.name} was made just before. Put the version before in "
        "its place again (python3 manage.py upgrade FILE does so by itself), then: "
        f"python3 manage.py restore {kept.name}"
    )


def _too_new(step: str) -> str:
    return (
        f"The database {connection.settings_dict['NAME']} was changed by a newer version of the "
        f"program ({step}), so this one leaves it alone. Put the newer version in its place again: "
        "python3 manage.py upgrade FILE. Or go back to a backup of this version: "
        "python3 manage.py restore shows which there are."
    )


def has_studio() -> bool:
    return Studio.objects.exists()


def fill_example(folder: Path) -> None:
    """Invent a studio, and give its teacher a password that is kept in the data folder."""
    call_command(settings.EXAMPLE_COMMAND, verbosity=0)
    owner = Studio.objects.select_related("owner").order_by("pk")[0].owner
    password = "-".join(secrets.token_hex(2) for _ in range(3))
    owner.set_password(password)
    owner.save(update_fields=["password"])
    content = f"Sign-in of the example studio\n{owner.get_username()}\n{password}\n"
    data_folder.write_private(note_of(folder), content)


def example_sign_in(folder: Path) -> ExampleSignIn | None:
    """The example's sign-in with a fresh ticket; None when this is no example."""
    note = note_of(folder)
    if not note.exists():
        return None
    _, email, password = note.read_text(encoding="utf-8").splitlines()[:3]
    owner = User.objects.filter(username=email).first()
    return ExampleSignIn(note, email, password, tickets.issue(owner)) if owner else None


def note_of(folder: Path) -> Path:
    return folder / "example-sign-in.txt"


def _sentence(error: DatabaseError) -> str:
    where = connection.settings_dict["NAME"]
    if connection.vendor != "sqlite":
        host = connection.settings_dict["HOST"] or "this computer"
        return f"The database {where} on {host} does not answer: {str(error).splitlines()[0]}"
    fault = fault_of(error)
    if fault is Fault.DAMAGED:
        return (
            f"{where} is damaged or no database. Put the last backup in its place: "
            "python3 manage.py restore shows which there are."
        )
    if fault is Fault.BUSY:
        return (
            f"Another program holds {where} and did not let go. Close what else has it open (a "
            "second studio, a database viewer, a copying program), then start again."
        )
    if fault is Fault.AWAY:
        return f"{where} cannot be opened. Is its disk there, and is it full or write-protected?"
    if fault is not None:
        return f"{where}: {fault.value.happened} {fault.value.do}, then start again."
    return f"The database {where} cannot be used: {error}. Is the disk full or write-protected?"

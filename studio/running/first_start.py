"""From an empty folder to a database that fits this version, and an example studio on demand."""

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.contrib.auth.models import User
from django.core.management import call_command
from django.db import DatabaseError, connection
from django.db.migrations.executor import MigrationExecutor

from studio.access import tickets
from studio.access.models import Studio
from studio.running import data_folder
from studio.running.faults import Fault, fault_of
from studio.running.sweeping import sweep
from studio.running.tidying import give_back_room
from studio.running.trouble import Trouble


class DatabaseTrouble(Trouble):
    """The database cannot be used; the text says what to do."""


@dataclass(frozen=True)
class ExampleSignIn:
    """How to get into the example: by its note in the data folder, or at once by a ticket."""

    note: Path
    email: str
    password: str
    token: str


def prepare_database(before_change: Callable[[], object]) -> bool:
    """Bring the tables up to this version, after `before_change`; whether they were changed."""
    try:
        executor = MigrationExecutor(connection)
        waiting = bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))
        if waiting:
            before_change()
            call_command("migrate", interactive=False, verbosity=0)
        for command in settings.START_COMMANDS:
            call_command(command, verbosity=0)
        sweep()
        if waiting:
            give_back_room(connection)
    except DatabaseError as error:
        raise DatabaseTrouble(_sentence(error)) from error
    return waiting


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

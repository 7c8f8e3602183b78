"""`manage.py backup`: the whole studio as one file, on demand locked with a passphrase."""

import argparse
from pathlib import Path
from typing import Any

from django.contrib.auth import password_validation
from django.core.exceptions import ValidationError
from django.core.management import BaseCommand

from studio.backups import keeping, sealing
from studio.backups.asking import passphrase_twice
from studio.backups.keeping import Why
from studio.backups.trouble import BackupTrouble
from studio.record.models import What
from studio.record.noting import note_everywhere


class Command(BaseCommand):
    help = "Make a backup of the studio, also while it is open."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("file", nargs="?", help="where to; the folder of backups unless said")
        parser.add_argument("--locked", action="store_true", help="ask for a passphrase to lock it")

    def handle(self, *, file: str | None, locked: bool, **_: Any) -> None:
        if locked and (file is None or not file.endswith(sealing.SUFFIX)):
            raise BackupTrouble("Say where the locked backup goes, for example studio.zip.age.")
        passphrase = self.passphrase() if locked else ""
        path = keeping.make_at(Path(file), passphrase) if file else keeping.make(Why.BY_HAND).path
        note_everywhere(What.BACKUP_MADE, f"{path.name}{', locked' if locked else ''}")
        size = path.stat().st_size / 1_000_000
        self.stdout.write(f"{path}\n{size:.1f} MB, read back and found whole.")
        if locked:
            self.stdout.write("It opens only with the passphrase, which is kept nowhere.")
        else:
            self.stdout.write("It holds everything about every child: keep it as the studio.")

    def passphrase(self) -> str:
        typed = passphrase_twice()
        try:
            password_validation.validate_password(typed)
        except ValidationError as error:
            raise BackupTrouble(" ".join(error.messages)) from None
        return typed

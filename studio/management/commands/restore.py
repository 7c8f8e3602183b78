"""`manage.py restore`: a backup in the place of the studio, after a look at what changes."""

import argparse
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand

from studio.backups import asking, keeping, restoring, sealing
from studio.backups.restoring import Preview
from studio.backups.trouble import BackupTrouble
from studio.record.models import What
from studio.record.noting import note_everywhere
from studio.running import presence


class Command(BaseCommand):
    help = "Put a backup in the place of the studio. Without a file: which backups there are."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("file", nargs="?", help="a file, or the name of one in the folder")
        parser.add_argument("--yes", action="store_true", help="do it without asking")

    def handle(self, *, file: str | None, yes: bool, **_: Any) -> None:
        if file is None:
            self.list_them()
            return
        path = self.found(file)
        with presence.alone(settings.DATA_DIR), keeping.told(), keeping.workshop() as shop:
            locked = sealing.is_sealed(path)
            plain = keeping.opened(path, shop, asking.passphrase() if locked else "")
            self.tell(restoring.preview(plain))
            if not yes and input("Put it in place? Type yes: ").strip().lower() != "yes":
                self.stdout.write("Nothing was changed.")
                return
            safety = restoring.restore(plain)
            note_everywhere(What.RESTORED, restoring.in_words(path, safety))
        self.stdout.write("The backup is in place.")
        if safety:
            self.stdout.write(f"The way back: python3 manage.py restore {safety.name}")
        else:
            self.stdout.write(
                "What could not be read was put aside: in the data folder, or on PostgreSQL in a "
                "schema of its own (put_aside_…), to be dropped when all is well."
            )

    def list_them(self) -> None:
        backups = keeping.all_backups()
        for backup in backups:
            self.stdout.write(f"{backup.name}  {backup.bytes / 1_000_000:6.1f} MB")
        if not backups:
            self.stdout.write(f"There is no backup in {keeping.folder()}.")

    def found(self, file: str) -> Path:
        path, named = Path(file), keeping.find(file)
        if path.is_file():
            return path
        if named is None:
            raise BackupTrouble(f"{file} is neither a file nor a backup in {keeping.folder()}.")
        return named.path

    def tell(self, preview: Preview) -> None:
        self.stdout.write(f"Made on {preview.made:%d %B %Y at %H:%M} UTC.")
        self.stdout.write(f"{'now':>32}{'then':>10}")
        for change in preview.changes:
            now = "?" if change.now is None else change.now
            self.stdout.write(f"{change.what:<22}{now:>10}{change.then:>10}")
        if preview.older:
            self.stdout.write("It is from an older version and will be brought up to this one.")
        if preview.other_key:
            self.stdout.write(
                "It comes from another installation; its key comes with it, and everybody signs "
                "in again. A key in STUDIO_SECRET_KEY stays: change that yourself."
            )

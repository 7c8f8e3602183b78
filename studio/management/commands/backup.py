"""`manage.py backup`: the whole studio as one file."""

import argparse
from pathlib import Path
from typing import Any

from django.core.management import BaseCommand

from studio.backups import keeping
from studio.backups.keeping import Why


class Command(BaseCommand):
    help = "Make a backup of the studio, also while it is open."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("file", nargs="?", help="where to; the folder of backups unless said")

    def handle(self, *, file: str | None, **_: Any) -> None:
        path = keeping.make_at(Path(file)) if file else keeping.make(Why.BY_HAND).path
        size = path.stat().st_size / 1_000_000
        self.stdout.write(f"{path}\n{size:.1f} MB, read back and found whole.")
        self.stdout.write("It holds everything about every child: keep it as you keep the studio.")

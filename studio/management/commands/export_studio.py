"""`manage.py export_studio FILE`: one studio with everything as a documented zip."""

import argparse
from pathlib import Path
from typing import Any

from django.core.management import BaseCommand

from studio.access.models import Studio
from studio.export import writing
from studio.export.packing import ExportTrouble
from studio.record.models import What
from studio.record.noting import note_command


class Command(BaseCommand):
    help = "Write one studio with everything to a zip, also while it is open."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("file", help="where to; must not exist")
        parser.add_argument("--owner", help="the e-mail address of its teacher; may stay away")
        parser.add_argument(
            "--reports", action="store_true", help="also print every report that was given"
        )

    def handle(self, *, file: str, owner: str | None, reports: bool, **_: Any) -> None:
        studio = self.studio(owner)
        manifest = writing.write_at(studio, Path(file), papers=reports)
        note_command(studio, What.EXPORTED, Path(file).name)
        for label, rows in manifest.rows.items():
            if rows:
                self.stdout.write(f"{label:<28}{rows:>9}")
        self.stdout.write(f"{sum(manifest.rows.values())} rows of {studio.name} in {file}.")
        self.stdout.write("It holds everything about every child: keep it as you keep the studio.")

    def studio(self, owner: str | None) -> Studio:
        found = Studio.objects.order_by("pk")
        if owner:
            found = found.filter(owner__username=owner.strip().lower())
        if len(found) != 1:
            names = ", ".join(Studio.objects.values_list("owner__username", flat=True)) or "none"
            raise ExportTrouble(f"Say which studio by --owner. There are: {names}.")
        return found[0]

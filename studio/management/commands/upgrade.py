"""`manage.py upgrade`: packages and tables of this version, with a backup first.

With a file or folder the version in it takes the place of this one; studio/running/upgrade.py does
that before Django is there.
"""

import argparse
import os
from contextlib import nullcontext
from typing import Any

from django.conf import settings
from django.core.management import BaseCommand

from studio.backups import keeping
from studio.record.models import What
from studio.record.noting import note_everywhere
from studio.running import first_start, presence
from studio.running.upgrade import WITHIN


class Command(BaseCommand):
    help = "Bring the studio up to this version, or to the one in a zip, tar or folder."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("source", nargs="?", help="a zip, a tar or a folder")

    def handle(self, **_: Any) -> None:
        held = nullcontext() if os.environ.get(WITHIN) else presence.alone(settings.DATA_DIR)
        with held:
            changed = first_start.prepare_database(keeping.before_upgrade)
            if changed:
                note_everywhere(What.UPGRADED)
        self.stdout.write(
            "A backup was made and the tables are those of this version."
            if changed
            else "The tables are those of this version already."
        )

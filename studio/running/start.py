"""What `manage.py` does: packages first, then the command. Standard library until then."""

import os
import sys
from importlib import import_module
from pathlib import Path

from studio.running import bootstrap
from studio.running.trouble import Trouble


def main(argv: list[str]) -> int:
    """Run one command and return its exit status; trouble is told in a sentence."""
    command = argv[1] if len(argv) > 1 else "help"
    try:
        if command == "upgrade" and len(argv) > 2 and not argv[2].startswith("-"):
            from studio.running import upgrade

            return upgrade.run(Path(argv[2]).expanduser().absolute())
        bootstrap.ensure_packages(argv, with_tests=command == "test")
        if command == "test":
            from studio.running.checks import run_all

            return run_all(argv[2:])
        return _django(argv)
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130


def _django(argv: list[str]) -> int:
    os.umask(0o077)  # a database or an export is its owner's, whatever folder it is put into
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")
    import_module(os.environ["DJANGO_SETTINGS_MODULE"])  # a bad value is told here, unwrapped
    from django.core.management import execute_from_command_line

    execute_from_command_line(argv)
    return 0

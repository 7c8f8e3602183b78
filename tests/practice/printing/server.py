"""A studio with a job to print, and the server that works it off, each a process of its own.

python -m tests.practice.printing.server fill 14 | serve 8012
"""

from __future__ import annotations

import sys

import django
from django.conf import settings
from django.core.management import call_command


def fill(count: int) -> None:
    call_command("migrate", run_syncdb=True, verbosity=0)
    from practice.printing import ask
    from tests.factories import StudioFactory
    from tests.practice.printing.material import a_term, given_reports

    settings.PRINT_BY_ITSELF = False
    term = a_term(StudioFactory.create())
    given_reports(term, [f"Imani{chr(ord('a') + number)}" for number in range(count)])
    ask.print_reports(term)


def serve(port: int) -> None:
    from studio.running import serving
    from studio.wsgi import application

    with serving.listen(serving.LOOPBACK, port) as listening:
        sys.stdout.write("listening\n")
        sys.stdout.flush()
        serving.serve(application, listening, "")


if __name__ == "__main__":
    django.setup()
    {"fill": fill, "serve": serve}[sys.argv[1]](int(sys.argv[2]))

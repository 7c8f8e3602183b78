"""Pages of a studio with ten years behind it, beside the same students' first term and a half.

    python -m tests.bench.bench_decades                  # makes both studios first: ten minutes
    python -m tests.bench.bench_decades --folder FOLDER  # keeps them there, uses them if they are

60 students; in the long studio those who left as well, until a million things are logged, and a
sheet for every week. Prints the size of the database, and of every page its queries and least time
in both. Target: no page above 1.5 times, queries equal, below 400 MB.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from functools import partial
from pathlib import Path

from tests.bench import bench_pages

STUDENTS, YEARS, ENTRIES = 60, 10, 1_000_000
RUNS = 9


def measure() -> dict[str, tuple[int, float]]:
    """Queries and least ms of each page of the studio in STUDIO_DATA."""
    from django.conf import settings
    from django.core.wsgi import get_wsgi_application
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext

    from studio import clock
    from studio.access.models import Studio
    from tests.bench import every_page

    client = Client()
    client.force_login(Studio.objects.get().owner)
    key = client.cookies[settings.SESSION_COOKIE_NAME].value
    cookie = f"{settings.SESSION_COOKIE_NAME}={key}; {settings.CSRF_COOKIE_NAME}={'c' * 32}"
    visitor = bench_pages.Visitor(get_wsgi_application(), cookie)
    found = {}
    studio = Studio.objects.get()
    for name, address in every_page.addresses(studio, clock.today(studio)):
        status, body = visitor.ask(address)
        if not (status.startswith("200") and b"<!doctype html" in body[:100].lower()):
            continue
        with CaptureQueriesContext(connection) as queries:
            visitor.ask(address)
        asked = len(queries)
        found[name] = (asked, bench_pages.least_ms(partial(visitor.ask, address), RUNS))
    return found


def make(years: int) -> None:
    from django.core.management import call_command
    from django.db import transaction

    from tests.bench import decades

    call_command("migrate", verbosity=0)
    call_command("example_studio", students=STUDENTS, years=years)
    if years:
        with transaction.atomic():
            decades.add_those_who_left(ENTRIES)
            decades.let_old_make_ups_go()
            decades.retire_old_favourites()
            decades.print_every_week()
    sizes = list(decades.tables())
    print(f"{sum(size for _, size in sizes):.0f} MB:", end=" ")
    print(", ".join(f"{name} {size:.0f}" for name, size in sizes[:10]))
    for model in ("practice.LogEntry", "practice.Item", "practice.Plan", "practice.Sheet"):
        from django.apps import apps

        print(f"{model}: {apps.get_model(model)._base_manager.count()}")


def in_a_process(folder: Path, *arguments: str) -> str:
    command = [sys.executable, "-m", "tests.bench.bench_decades", *arguments]
    env = {**os.environ, "STUDIO_DATA": str(folder), "DJANGO_SETTINGS_MODULE": "studio.settings"}
    return subprocess.run(command, env=env, check=True, stdout=subprocess.PIPE, text=True).stdout


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--folder", type=Path)
    parser.add_argument("--make", type=int, help=argparse.SUPPRESS)
    parser.add_argument("--measure", action="store_true", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.make is not None or asked.measure:
        import django

        django.setup()
        if asked.measure:
            print(json.dumps(measure()))
        else:
            make(asked.make)
        return
    with tempfile.TemporaryDirectory() as temporary:
        root: Path = asked.folder or Path(temporary)
        told = []
        for name, years in (("short", 0), ("long", YEARS)):
            folder = root / name
            if not (folder / "studio.sqlite3").exists():
                folder.mkdir(parents=True, exist_ok=True)
                print(name, in_a_process(folder, "--make", str(years)), sep=": ")
            told.append(json.loads(in_a_process(folder, "--measure")))
    print(f"{'page':28} queries          ms short   ms long   times")
    for page in sorted(told[0].keys() & told[1].keys()):
        (queries, ms), (long_queries, long_ms) = told[0][page], told[1][page]
        asked_for = f"{queries}" if queries == long_queries else f"{queries} -> {long_queries}"
        print(f"{page:28} {asked_for:14} {ms:10.1f} {long_ms:9.1f} {long_ms / ms:7.2f}")
    print("only in one:", *sorted(told[0].keys() ^ told[1].keys()))


if __name__ == "__main__":
    main()

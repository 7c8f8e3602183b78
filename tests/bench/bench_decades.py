"""Pages of a studio with ten years behind it, beside the same students' first term and a half.

    python -m tests.bench.bench_decades                  # makes both studios first: ten minutes
    python -m tests.bench.bench_decades --folder FOLDER  # keeps them there, uses them if they are

60 students; in the long studio those who left as well, until a million things are logged, and a
sheet for every week. Prints the size of the database, and each page's queries and least time in
both. Target: no page above 1.5 times, queries equal, below 400 MB.
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
from typing import Any

from tests.bench import bench_pages

STUDENTS, YEARS, ENTRIES = 60, 10, 1_000_000
RUNS = 9


def addresses() -> dict[str, str]:
    from django.urls import reverse

    from studio import clock
    from studio.access.models import Studio
    from studio.models import Recital, Student, Term

    studio = Studio.objects.get()
    today = clock.today(studio)
    found = bench_pages.pages(today)
    student = int(found["a student"].strip("/").rpartition("/")[2])
    family = Student.objects.get(pk=student).family_id
    term = Term.objects.filter(starts__lte=today).order_by("-starts")[0].pk
    recital = Recital.objects.filter(date__gte=today).order_by("date")[0].pk
    more: dict[str, tuple[str, list[Any]]] = {
        "a day of the calendar": ("lessons:day", [today.year, today.month, today.day]),
        "weekly lessons": ("lessons:slots", []),
        "make-ups": ("lessons:make-ups", []),
        "a family": ("people:family", [family]),
        "returned paper": ("desk:returned", [student]),
        "stands": ("bench-stands", [student]),
        "reports of a term": ("reports:term", []),
        "a report": ("reports:report", [term, student]),
        "a student's years": ("reports:history", [student]),
        "the studio's year": ("reports:this-year", []),
        "recitals": ("recitals:recitals", []),
        "a recital": ("recitals:recital", [recital]),
        "backups": ("backups:list", []),
        "data": ("export:data", []),
        "record": ("record:record", []),
    }
    return found | {name: reverse(view, args=args) for name, (view, args) in more.items()}


def measure() -> dict[str, tuple[int, float]]:
    """Queries and least ms of each page of the studio in STUDIO_DATA."""
    from django.conf import settings
    from django.core.wsgi import get_wsgi_application
    from django.db import connection
    from django.test import Client
    from django.test.utils import CaptureQueriesContext

    from studio.access.models import Studio

    client = Client()
    client.force_login(Studio.objects.get().owner)
    key = client.cookies[settings.SESSION_COOKIE_NAME].value
    cookie = f"{settings.SESSION_COOKIE_NAME}={key}; {settings.CSRF_COOKIE_NAME}={'c' * 32}"
    visitor = bench_pages.Visitor(get_wsgi_application(), cookie)
    found = {}
    for name, address in addresses().items():
        if name == "preview":
            continue
        visitor.ask(address)
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
    print(f"{'page':20} queries          ms short   ms long   times")
    for page, (queries, ms) in told[0].items():
        long_queries, long_ms = told[1][page]
        asked_for = f"{queries}" if queries == long_queries else f"{queries} -> {long_queries}"
        print(f"{page:20} {asked_for:14} {ms:10.1f} {long_ms:9.1f} {long_ms / ms:7.2f}")


if __name__ == "__main__":
    main()

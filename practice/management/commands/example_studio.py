"""`manage.py example_studio`: an invented studio with its people, lessons, weeks and logs."""

import argparse
import time
from typing import Any

from django.contrib.auth.models import User
from django.core.management import BaseCommand, CommandError
from django.db import transaction

from practice.example.build import SEED, build_example
from practice.example.cast import load_cast
from practice.example.invented import MOST_STUDENTS, TooMany
from studio import clock
from studio.access.models import Studio

CAST = 24
MOST_YEARS = 20


class Command(BaseCommand):
    help = "Invent a studio. It refuses a studio that has families already."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument(
            "--owner", default="", help="sign-in name of the teacher to fill it for"
        )
        parser.add_argument("--seed", type=int, default=SEED, help="another number, other weeks")
        parser.add_argument("--students", type=int, default=CAST, help=f"from {CAST} on")
        parser.add_argument(
            "--years", type=int, default=0, help="of history; 0 is a term and a half"
        )

    def handle(
        self, *, owner: str, seed: int, students: int, years: int, verbosity: int, **_: Any
    ) -> None:
        if not CAST <= students <= MOST_STUDENTS:
            raise CommandError(f"--students {students}: choose {CAST} to {MOST_STUDENTS}.")
        if not 0 <= years <= MOST_YEARS:
            raise CommandError(f"--years {years}: choose 0 to {MOST_YEARS}.")
        started = time.perf_counter()
        try:
            with transaction.atomic():
                studio = _studio(owner)
                written = build_example(
                    studio, clock.today(studio), seed=seed, students=students, years=years
                )
        except TooMany as trouble:
            raise CommandError(f"--students {students}: {trouble}") from None
        if verbosity:
            seconds = time.perf_counter() - started
            self.stdout.write(
                f"{studio.name}: {written.students} students, {written.lessons} lessons, "
                f"{written.weeks} weeks with {written.items} items, {written.entries} of them "
                f"logged, {written.words} words from home, in {seconds:.1f} s."
            )


def _studio(owner: str) -> Studio:
    """The owner's empty studio, or a new one; without an owner the first of the database."""
    teacher = load_cast().teacher
    if owner:
        user = User.objects.filter(username=owner).first()
        if user is None:
            raise CommandError(f"Nobody signs in as {owner} here.")
    elif User.objects.exists():
        raise CommandError(
            "This database has a teacher already. Say for whom the example is: --owner her@address"
        )
    else:
        user = User.objects.create_user(teacher.username, teacher.username)
    studio, _ = Studio.objects.get_or_create(
        owner=user,
        defaults={"name": teacher.name, "teacher": teacher.teacher, "zone": teacher.zone},
    )
    if studio.families.exists() or studio.terms.exists():
        raise CommandError(
            f"{studio.name} has families or terms of its own. The example stays out of it."
        )
    return studio

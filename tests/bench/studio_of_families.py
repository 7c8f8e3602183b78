"""What bench_families puts into a studio before and looks for afterwards. Django is set up."""

from __future__ import annotations

import copy
import datetime as dt
import os
from dataclasses import dataclass, field
from typing import Any
from zoneinfo import ZoneInfo

# Other settings or another database by the same variables as for the program itself.
SETTINGS = {
    "DJANGO_SETTINGS_MODULE": os.environ.get("DJANGO_SETTINGS_MODULE", "studio.settings"),
    "STUDIO_DATABASE_URL": os.environ.get("STUDIO_DATABASE_URL", ""),
}


@dataclass
class Home:
    """One family's child: where its page is, and every message the studio has acknowledged."""

    page: str
    send: str
    student: int
    acknowledged: list[dict[str, Any]] = field(default_factory=list)


def make_example(folder: str) -> None:
    """Set Django up on a folder and fill the invented studio in."""
    os.environ.update(STUDIO_DATA=folder, **SETTINGS)
    import django

    django.setup()
    from django.core.management import call_command

    call_command("migrate", run_syncdb=True, verbosity=0)
    call_command("load_catalogue", verbosity=0)
    call_command("example_studio", verbosity=0)


def make_families(count: int) -> list[Home]:
    """Copies of the example's students with the week that holds today, each in its own family."""
    from django.urls import reverse

    from practice.models import Assignment, Item
    from studio import clock
    from studio.access.models import Studio
    from studio.links import tokens
    from studio.models import Family, HomeLink

    def again(row: Any, **changed: Any) -> Any:
        new = copy.copy(row)
        new.pk, new._state = None, copy.copy(row._state)
        new._state.adding, new._state.fields_cache = True, {}
        for name, value in changed.items():
            setattr(new, name, value)
        return new

    studio = Studio.objects.get()
    today = clock.today(studio)
    weeks = Assignment.objects.filter(plan__items__date=today, plan__items__minutes__gt=0)
    models = list(weeks.select_related("plan", "student").distinct().order_by("pk"))
    homes = []
    for number in range(count):
        model = models[number % len(models)]
        family = Family.objects.create(studio=studio, name=f"Family {number}")
        student = again(model.student, family=family)
        student.save()
        assignment = again(model, student=student, lesson=None)
        assignment.save()
        plan = again(model.plan, assignment=assignment)
        plan.save()
        Item.objects.bulk_create(again(item, plan=plan) for item in model.plan.items.all())
        token = tokens.issue(HomeLink(opens=HomeLink.Opens.FAMILY, family=family))
        of = [token, student.pk]
        homes.append(
            Home(reverse("home:child", args=of), reverse("home:send", args=of), student.pk)
        )
    return homes


def lost_and_doubled(homes: list[Home]) -> tuple[int, int]:
    """Acknowledged messages that are not there, and those that count otherwise than once."""
    from practice.models import Item, LogEntry, Receipt, Word

    lost = doubled = 0
    receipts = {key.hex for key in Receipt.objects.values_list("key", flat=True)}
    planned = dict(Item.objects.values_list("pk", "minutes"))
    for home in homes:
        wanted: dict[int, tuple[bool, int]] = {}
        words = []
        for message in home.acknowledged:
            lost += message["key"] not in receipts
            words += [message["word"]] if "word" in message else []
            for tick in message["ticks"]:
                item = tick["item"]
                if tick["done"] or item in wanted:
                    told = planned[item] if tick["minutes"] is None else tick["minutes"]
                    wanted[item] = (tick["done"], told)
        rows = LogEntry.objects.filter(item__plan__assignment__student=home.student)
        kept = {row.item_id: (row.done, row.minutes) for row in rows if row.item_id in wanted}
        lost += sum(kept.get(item) != value for item, value in wanted.items())
        said = list(Word.objects.filter(student=home.student).values_list("text", flat=True))
        lost += len(set(words) - set(said))
        doubled += len(said) - len(set(said))
    return lost, doubled


def make_windows(days: int) -> tuple[list[str], list[str], str]:
    """Addresses that move a lesson each, days to move them to, and a signed-in teacher's cookie."""
    from django.contrib.auth import login
    from django.http import HttpRequest
    from django.urls import reverse

    from studio import clock
    from studio.access.models import Studio
    from studio.access.sessions import SessionStore
    from studio.models import Lesson

    studio = Studio.objects.get()
    today = clock.today(studio)
    to_come = Lesson.objects.filter(date__gt=today, status=Lesson.Status.PLANNED)
    first = {lesson.student.family_id: lesson.pk for lesson in to_come.select_related("student")}
    moves = [reverse("lessons:lesson-move", args=[pk]) for pk in first.values()]
    request = HttpRequest()
    request.session = SessionStore()
    login(request, studio.owner, "studio.access.backend.TeacherBackend")
    request.session.save()
    to = [f"{today + dt.timedelta(days=12 + n)}" for n in range(days)]
    return moves, to, str(request.session.session_key)


def double_bookings() -> int:
    from studio.access.models import Studio
    from studio.dates.free import clash
    from studio.models import Lesson, LessonRules

    studio = Studio.objects.get()
    travel, zone = LessonRules.of(studio).travel, ZoneInfo(studio.zone)
    held = [lesson.booked(zone) for lesson in Lesson.objects.of(studio).standing()]
    return sum(clash(one, other, travel) for n, one in enumerate(held) for other in held[n + 1 :])

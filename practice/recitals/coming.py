"""The recitals a student will play in, as a family asks for them."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.db.models import Q

from practice.recitals.models import Performance
from studio.people.models import Student
from studio.terms.models import Recital


@dataclass(frozen=True)
class Coming:
    """A recital from today on, also one called off; `works` in the order they are played."""

    recital: Recital
    works: tuple[str, ...]


def coming_for(student: Student, today: dt.date) -> list[Coming]:
    """The next one first. One query."""
    rows = (
        Performance.objects.filter(Q(student=student) | Q(partner=student))
        .filter(programme__recital__date__gte=today)
        .select_related("programme__recital", "work")
        .order_by("programme__recital__date", "programme__recital__starts", "place", "pk")
    )
    found: dict[int, tuple[Recital, list[str]]] = {}
    for each in rows:
        recital = each.programme.recital
        found.setdefault(recital.pk, (recital, []))[1].append(each.work.short_title)
    return [Coming(recital, tuple(works)) for recital, works in found.values()]

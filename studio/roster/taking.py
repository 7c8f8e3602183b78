"""A planned roster brought in, and taken back again."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.db import models, transaction

from studio import clock
from studio.access.models import Studio
from studio.people.models import Family, Guardian, SizeHeld, Student
from studio.roster.models import RosterImport
from studio.roster.planning import Household, RosterPlan


def bring_in(studio: Studio, plan: RosterPlan, name: str, today: dt.date) -> RosterImport:
    """Make what is planned, inside the caller's transaction."""
    made = RosterImport.objects.create(studio=studio, name=name[-120:], made=clock.now())
    families: list[Family] = []
    guardians: list[Guardian] = []
    students: list[Student] = []
    for household in plan.making:
        family = household.family
        if family is None:
            family = Family.objects.create(studio=studio, name=household.name)
            families.append(family)
        guardians += _guardians(family, household)
        students += _students(family, household, today)
    made.families.set(families)
    made.guardians.set(guardians)
    made.students.set(students)
    return made


def _guardians(family: Family, household: Household) -> list[Guardian]:
    return [
        Guardian.objects.create(
            family=family,
            name=grown.name,
            relation=grown.relation,
            email=grown.email,
            phone=grown.phone,
        )
        for grown in household.guardians
    ]


def _students(family: Family, household: Household, today: dt.date) -> list[Student]:
    return [
        Student.objects.create(
            family=family,
            given_name=each.person.given_name,
            family_name=each.person.family_name,
            birth_date=each.person.born,
            instrument_size=each.person.size,
            started=each.person.started or today,
            notes=each.person.notes,
        )
        for each in household.coming
    ]


@dataclass(frozen=True)
class Undoing:
    """What goes when an import is taken back, and what stays, each with its reason."""

    students: list[Student]
    guardians: list[Guardian]
    families: list[Family]
    staying: list[tuple[str, str]]

    @property
    def anything(self) -> bool:
        return bool(self.students or self.guardians or self.families)


def undoing(made: RosterImport) -> Undoing:
    """A student goes unless something hangs on it, then its guardians and its family stay too."""
    students, staying = [], []
    kept_families: set[int] = set()
    for student in made.students.all():
        why = _hangs_on(student)
        if why:
            staying.append((student.full_name, why))
            kept_families.add(student.family_id)
        else:
            students.append(student)
    guardians = [each for each in made.guardians.all() if each.family_id not in kept_families]
    families = []
    going = {each.pk for each in students}, {each.pk for each in guardians}
    for family in made.families.all():
        why = _family_hangs_on(family, *going)
        if why:
            staying.append((f"family {family.name}", why))
        else:
            families.append(family)
    return Undoing(students, guardians, families, staying)


def take_back(made: RosterImport) -> Undoing:
    """Undo in one transaction; what stays remains listed under the import."""
    with transaction.atomic():
        Studio.objects.select_for_update().get(pk=made.studio_id)
        found = undoing(made)
        for model, rows in (
            (Student, found.students),
            (Guardian, found.guardians),
            (Family, found.families),
        ):
            model._base_manager.filter(pk__in=[row.pk for row in rows]).delete()
        if not found.staying and not made.students.exists():
            made.delete()
    return found


def _hangs_on(row: models.Model, but: tuple[str, ...] = ()) -> str:
    """What else points to the row and would go with it; "" when nothing does."""
    for relation in row._meta.related_objects:
        other: Any = relation.related_model
        if relation.on_delete is models.SET_NULL or relation.name in but or other is RosterImport:
            continue
        made_with_it = 1 if other is SizeHeld else 0  # the size from the first day
        if other._base_manager.filter(**{relation.field.name: row.pk}).count() > made_with_it:
            return f"has {other._meta.verbose_name_plural}"
    return ""


def _family_hangs_on(family: Family, students: set[int], guardians: set[int]) -> str:
    if family.students.exclude(pk__in=students).exists():
        return "a student of it stays"
    if family.guardians.exclude(pk__in=guardians).exists():
        return "a guardian of it stays"
    if family.notes:
        return "has notes of yours"
    return _hangs_on(family, but=("students", "guardians"))

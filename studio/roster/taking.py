"""A planned roster brought in, and taken back again."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from django.db import models, transaction
from django.db.models import Count
from django.utils.translation import gettext as _

from studio import clock
from studio.access.models import Studio
from studio.export.rules import called
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
    brought, families = list(made.students.all()), list(made.families.all())
    keeping = _hanging(made.students.all())
    students = [each for each in brought if each.pk not in keeping]
    kept_families = {each.family_id for each in brought if each.pk in keeping}
    guardians = [each for each in made.guardians.all() if each.family_id not in kept_families]
    keeping_families = _keeping_families(made, students, guardians)
    staying = [(each.full_name, keeping[each.pk]) for each in brought if each.pk in keeping]
    staying += [
        (_("family {name}").format(name=each.name), keeping_families[each.pk])
        for each in families
        if each.pk in keeping_families
    ]
    going = [each for each in families if each.pk not in keeping_families]
    return Undoing(students, guardians, going, staying)


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


def _hanging(rows: models.QuerySet[Any], but: tuple[str, ...] = ()) -> dict[int, str]:
    """Of each row's key, what else points to it and would go with it; one query a relation.

    Relations without a way back (`related_name="+"`) are asked too.
    """
    found: dict[int, str] = {}
    for relation in rows.model._meta.get_fields(include_hidden=True):
        if not isinstance(relation, models.ForeignObjectRel) or relation.name in but:
            continue
        other: Any = relation.related_model
        between = other is RosterImport or other._meta.auto_created
        if between or relation.on_delete is models.SET_NULL:
            continue
        made_with_it = 1 if other is SizeHeld else 0  # the size from the first day
        to = relation.field.name
        pointing = other._base_manager.filter(**{f"{to}__in": rows.values("pk")})
        many = pointing.values(to).annotate(rows=Count("pk")).filter(rows__gt=made_with_it)
        for pk in many.values_list(to, flat=True):
            found.setdefault(pk, _("has {things}").format(things=called(other)))
    return found


def _keeping_families(
    made: RosterImport, students: list[Student], guardians: list[Guardian]
) -> dict[int, str]:
    """Why a family stays when these go; by its key, the reason that weighs most."""
    families = made.families.all()
    reasons = _hanging(families, but=("students", "guardians"))
    noted = families.exclude(notes="").values_list("pk", flat=True)
    reasons |= dict.fromkeys(noted, _("has notes of yours"))
    for model, going, why in (
        (Guardian, guardians, _("a guardian of it stays")),
        (Student, students, _("a student of it stays")),
    ):
        rows = model._base_manager.filter(family__in=families)
        left = rows.exclude(pk__in=[each.pk for each in going])
        reasons |= dict.fromkeys(left.values_list("family_id", flat=True), why)
    return reasons

"""Which families a list makes, and who is there already."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

import pytest
from django.db import connection, models
from django.test.utils import CaptureQueriesContext

from studio.export.rules import by_label, carried
from studio.models import Family, Guardian, RosterImport, SizeHeld, Student, Studio
from studio.roster.people import Grown, Person
from studio.roster.planning import RosterPlan, plan
from studio.roster.taking import bring_in, take_back, undoing
from tests.factories import FamilyFactory, LessonFactory, StudentFactory
from tests.studio.export.filling import filled

pytestmark = pytest.mark.django_db
TOMAS = Grown("Tomás Okonkwo-Reyes", "father", "tomas@example.org")
BORN = dt.date(2014, 3, 5)
TODAY = dt.date(2026, 11, 25)


def person(line: int, given: str = "Amara", *guardians: Grown, **other: object) -> Person:
    values: dict[str, object] = {
        "family_name": "Okonkwo-Reyes",
        "born": BORN,
        "size": "1/2",
        "started": None,
        "notes": "",
        "household": "",
        **other,
    }
    return Person(line=line, given_name=given, guardians=guardians, **values)  # type: ignore[arg-type]


def families(found: RosterPlan) -> list[list[str]]:
    return [[each.person.given_name for each in of.students] for of in found.households]


def test_a_guardian_in_common_makes_a_family(studio: Studio) -> None:
    found = plan(studio, [person(2, "Amara", TOMAS), person(3, "Kelechi", TOMAS)])
    assert families(found) == [["Amara", "Kelechi"]]
    assert (found.families, found.guardians, found.students) == (1, 1, 2)


def test_the_same_surname_alone_makes_none(studio: Studio) -> None:
    """What a family sees of each other's pages must not rest on a guess."""
    assert families(plan(studio, [person(2, "Amara"), person(3, "Kelechi")])) == [
        ["Amara"],
        ["Kelechi"],
    ]
    others = [person(2, "Amara", TOMAS), person(3, "Kelechi", Grown("Ana Okonkwo-Reyes"))]
    assert len(families(plan(studio, others))) == 2


def test_a_family_that_the_list_names_is_one(studio: Studio) -> None:
    both = [person(2, "Amara", household="Reyes"), person(3, "Kelechi", household="reyes")]
    assert families(plan(studio, both)) == [["Amara", "Kelechi"]]


def test_a_family_that_is_here_takes_them_in(studio: Studio, family: Family) -> None:
    found = plan(studio, [person(2, "Amara", TOMAS)])
    assert found.households[0].family == family
    assert (found.families, found.guardians) == (0, 0)


def test_another_studios_family_is_never_found(studio: Studio, other_student: Student) -> None:
    Guardian.objects.create(family=other_student.family, name=TOMAS.name, email=TOMAS.email)
    Family.objects.filter(pk=other_student.family_id).update(name="Okonkwo-Reyes")
    Student.objects.filter(pk=other_student.pk).update(
        given_name="Amara", family_name="Okonkwo-Reyes"
    )
    found = plan(studio, [person(2, "Amara", TOMAS)])
    assert found.households[0].family is None
    assert found.doubles == []


@pytest.mark.parametrize(
    ("here", "coming", "double"),
    [
        (BORN, BORN, True),
        (None, BORN, True),
        (BORN, None, True),
        (dt.date(2013, 1, 1), BORN, False),
    ],
)
def test_doubles_by_name_and_birth_date(
    family: Family, here: dt.date | None, coming: dt.date | None, double: bool
) -> None:
    StudentFactory.create(family=family, given_name="Amára", birth_date=here)
    found = plan(family.studio, [person(2, born=coming)])
    assert bool(found.doubles) == double
    assert found.students == (0 if double else 1)
    chosen = plan(family.studio, [person(2, born=coming)], chosen=[2])
    assert chosen.students == 1


def test_a_double_within_the_list(studio: Studio) -> None:
    found = plan(studio, [person(2, "Amara", TOMAS), person(5, "Amara", TOMAS)])
    assert [each.double for each in found.doubles] == ["line 2 of this list"]
    assert found.students == 1


def test_the_digest_follows_what_would_be_made(studio: Studio) -> None:
    lines = [person(2, "Amara", TOMAS)]
    first = plan(studio, lines).digest
    assert plan(studio, lines).digest == first
    FamilyFactory.create(studio=studio, name="Somebody")
    assert plan(studio, lines).digest == first
    StudentFactory.create(family__studio=studio, given_name="Amara")
    assert plan(studio, lines).digest != first


def test_taking_back_removes_exactly_what_was_made(family: Family) -> None:
    before = [model.objects.count() for model in (Family, Guardian, Student)]
    lines = [
        person(2, "Amara", TOMAS),
        person(3, "Ren", Grown("Yuki Nakamura"), family_name="Nakamura"),
    ]
    made = bring_in(family.studio, plan(family.studio, lines), "list.csv", TODAY)
    assert [model.objects.count() for model in (Family, Guardian, Student)] != before
    take_back(made)
    assert [model.objects.count() for model in (Family, Guardian, Student)] == before
    assert made.pk is None or not type(made).objects.filter(name="list.csv").exists()


def test_what_something_hangs_on_stays_and_is_told(family: Family) -> None:
    lines = [
        person(2, "Amara", TOMAS),
        person(3, "Ren", Grown("Yuki Nakamura"), family_name="Nakamura"),
    ]
    made = bring_in(family.studio, plan(family.studio, lines), "list.csv", TODAY)
    LessonFactory.create(student=made.students.get(given_name="Ren"))
    found = take_back(made)
    assert [student.given_name for student in found.students] == ["Amara"]
    assert dict(found.staying) == {
        "Ren Nakamura": "has lessons",
        "family Nakamura": "a student of it stays",
    }
    assert Guardian.objects.filter(name="Yuki Nakamura").exists()
    assert [s.given_name for s in made.students.all()] == ["Ren"]
    assert undoing(made).anything is False


def pointing_to_students() -> Iterator[tuple[type[models.Model], str]]:
    """Every model and field through which a row would go, or lose its student, with a student."""
    for rule in carried():
        for each in (*rule.model._meta.local_fields, *rule.model._meta.local_many_to_many):
            to_student = each.remote_field and each.remote_field.model is Student
            loses_nothing = getattr(each.remote_field, "on_delete", None) is models.SET_NULL
            if to_student and not loses_nothing and rule.model not in {SizeHeld, RosterImport}:
                yield rule.model, each.name


@pytest.mark.parametrize(("model", "name"), list(pointing_to_students()))
def test_everything_that_points_to_a_student_keeps_it(model: Any, name: str) -> None:
    studio = filled()
    made = bring_in(studio, plan(studio, [person(2, "Ren")]), "list.csv", TODAY)
    ren = made.students.get()
    assert undoing(made).students == [ren]
    row: Any = by_label()[model._meta.label_lower].of(studio).first()
    if model._meta.get_field(name).many_to_many:
        getattr(row, name).add(ren)
    else:
        model._base_manager.filter(pk=row.pk).update(**{name: ren})
    found = undoing(made)
    assert found.students == []
    assert [who for who, _ in found.staying] == [ren.full_name, f"family {ren.family.name}"]


def test_taking_back_asks_the_same_for_many_as_for_one(studio: Studio) -> None:
    def asked(people: list[Person]) -> int:
        made = bring_in(studio, plan(studio, people), "list.csv", TODAY)
        with CaptureQueriesContext(connection) as queries:
            assert len(undoing(made).students) == len(people)
        return len(queries)

    many = [person(n, f"Amara {n}", Grown(f"Ana {n}")) for n in range(3, 30)]
    assert asked([person(2, "Ren", TOMAS)]) == asked(many) < 50


def test_a_long_list_is_planned_in_the_lists_order(studio: Studio) -> None:
    """Two thousand lines are as many as are read; a brother may stand far from his sister."""
    lines = [
        person(n, f"Amara {n}", Grown(f"Ana {n}"), family_name=f"Reyes {n}") for n in range(2000)
    ]
    lines.append(person(2000, "Kelechi", Grown("Ana 0"), family_name="Reyes 0"))
    found = families(plan(studio, lines))
    assert found[0] == ["Amara 0", "Kelechi"]
    assert found[1:] == [[f"Amara {n}"] for n in range(1, 2000)]

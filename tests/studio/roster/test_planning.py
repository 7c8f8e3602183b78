"""Which families a list makes, and who is there already."""

from __future__ import annotations

import datetime as dt

import pytest

from studio.models import Family, Guardian, Student, Studio
from studio.roster.people import Grown, Person
from studio.roster.planning import RosterPlan, plan
from studio.roster.taking import bring_in, take_back, undoing
from tests.factories import FamilyFactory, LessonFactory, StudentFactory

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


def test_everything_that_can_point_to_a_student_keeps_it(family: Family) -> None:
    """Every relation that would take rows along is asked, those of new models too."""
    hanging = [
        each
        for each in Student._meta.related_objects
        if getattr(each, "on_delete", None) and each.on_delete.__name__ == "CASCADE"
    ]
    assert len(hanging) > 8

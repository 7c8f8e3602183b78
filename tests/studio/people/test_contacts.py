"""vCards, read back by vobject, a library of its own."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
import vobject
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from studio.models import Family, Guardian, Student
from studio.people.contacts import vcards
from tests.factories import GuardianFactory

NOW = dt.datetime(2026, 11, 25, 12, tzinfo=dt.UTC)
# No control signs: vobject cuts its lines at some of them, a name field refuses them.
NAMES = (
    st.text(st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"]), min_size=1, max_size=120)
    .map(str.strip)
    .filter(bool)
)


class Alone:
    """A family of no database."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.students = self

    def all(self) -> list[Any]:
        return []


def card(name: str, relation: str = "", phone: str = "", family: str = "Reyes") -> str:
    class Somebody:
        pk, email = 7, "tomas@example.org"

    somebody: Any = Somebody()
    somebody.name, somebody.relation, somebody.phone = name, relation, phone
    somebody.family = Alone(family)
    (text,) = vcards([somebody], NOW)
    return text


@given(NAMES, NAMES)
def test_any_name_comes_back(name: str, relation: str) -> None:
    read = vobject.readOne(card(name, relation))
    assert read.fn.value == name
    assert read.note.value == relation
    assert read.email.value == "tomas@example.org"


@given(NAMES)
def test_no_line_is_longer_than_75_bytes_or_cut_inside_a_sign(name: str) -> None:
    text = card(name)
    lines = text.encode().split(b"\r\n")
    assert all(len(line) <= 75 for line in lines)
    assert all(line.decode() for line in lines if line)  # raises where a sign is cut


@pytest.mark.parametrize(
    ("name", "family", "parts"),
    [
        ("Tomás Okonkwo-Reyes", "Okonkwo-Reyes", ("Okonkwo-Reyes", "Tomás")),
        ("Maria do Carmo Silva", "Silva", ("Silva", "Maria do Carmo")),
        ("Yuki Nakamura", "Tanaka", ("", "Yuki Nakamura")),
        ("Reyes", "Reyes", ("", "Reyes")),
    ],
)
def test_the_family_says_where_a_name_is_cut(name: str, family: str, parts: object) -> None:
    read = vobject.readOne(card(name, family=family))
    assert (read.n.value.family, read.n.value.given) == parts


def test_a_break_in_a_name_begins_no_line_of_its_own() -> None:
    text = card("Tomás\r\nTEL:1;2,3\\n")
    assert text.count("\r\nTEL") == 0
    assert vobject.readOne(text).fn.value == "Tomás\nTEL:1;2,3\\n"


@pytest.mark.django_db
def test_a_card_keeps_its_identity(family: Family) -> None:
    first, second = (
        vobject.readOne(next(vcards(Guardian.objects.all(), NOW + dt.timedelta(days=n))))
        for n in (0, 1)
    )
    assert first.uid.value == second.uid.value
    assert first.rev.value != second.rev.value


def test_all_guardians_in_one_file(signed_in: Client, student: Student) -> None:
    GuardianFactory.create(family=student.family, name="Ngozi Okonkwo", email="", phone="1 23")
    answer = signed_in.get("/settings/data/contacts/")
    assert answer.headers["Content-Type"] == "text/vcard; charset=utf-8"
    cards = {each.fn.value: each for each in vobject.readComponents(answer.content.decode())}
    assert set(cards) == {"Tomás Okonkwo-Reyes", "Ngozi Okonkwo"}
    assert cards["Ngozi Okonkwo"].tel.value == "1 23"
    assert "violin: Imani Okonkwo-Reyes" in cards["Tomás Okonkwo-Reyes"].note.value


def test_one_family_alone(signed_in: Client, family: Family, other_student: Student) -> None:
    GuardianFactory.create(family=other_student.family, name="Aiko Tanaka")
    assert b"Tanaka" not in signed_in.get("/settings/data/contacts/").content
    answer = signed_in.get(f"/families/{family.pk}/contacts/")
    assert answer.content.count(b"BEGIN:VCARD") == 1
    assert signed_in.get(f"/families/{other_student.family_id}/contacts/").status_code == 404


def test_a_family_name_makes_no_header_of_its_own(signed_in: Client, family: Family) -> None:
    Family.objects.update(name='x"; a=b\r\nSet-Cookie: y/../../z')
    header = signed_in.get(f"/families/{family.pk}/contacts/").headers["Content-Disposition"]
    assert header == 'attachment; filename="x-ab-set-cookie-yz.vcf"'


def test_the_file_asks_the_database_a_constant_number_of_times(
    signed_in: Client, student: Student, django_assert_num_queries: Any
) -> None:
    for _ in range(5):
        GuardianFactory.create(family=student.family)
    with django_assert_num_queries(5):
        signed_in.get("/settings/data/contacts/")

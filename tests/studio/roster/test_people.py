"""Lines as students and guardians; each mistake with its line, its column and its value."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.roster.headings import Kind
from studio.roster.people import Grown, Person, Reading, Wrong, order_of, read_people
from studio.roster.tables import Line

TODAY = dt.date(2026, 11, 25)


def reading(order: str = "dmy", **cells: str) -> Reading:
    kinds = [Kind[name.upper()] for name in cells]
    headings = [f"the {name}" for name in cells]
    line = Line(7, tuple(cells.values()))
    return read_people([line], kinds, headings, order=order, today=TODAY)


def person(order: str = "dmy", **cells: str) -> Person:
    found = reading(order, **cells)
    assert found.wrong == []
    return found.people[0]


def wrong(**cells: str) -> Wrong:
    found = reading(**cells)
    assert found.people == []
    return found.wrong[0]


@pytest.mark.parametrize(
    ("text", "order", "day"),
    [
        ("2014-03-05", "mdy", dt.date(2014, 3, 5)),
        ("05.03.2014", "dmy", dt.date(2014, 3, 5)),
        ("5/3/2014", "dmy", dt.date(2014, 3, 5)),
        ("3/5/2014", "mdy", dt.date(2014, 3, 5)),
        ("5.3.14", "dmy", dt.date(2014, 3, 5)),
        ("5.3.88", "dmy", dt.date(1988, 3, 5)),
        ("2014-03-05 00:00:00", "dmy", dt.date(2014, 3, 5)),
        ("", "dmy", None),
    ],
)
def test_days_as_lists_have_them(text: str, order: str, day: dt.date | None) -> None:
    assert person(order, given="Imani", born=text).born == day


@pytest.mark.parametrize(
    "text", ["31.02.2012", "5. March", "1/2", "2027-01-01", "1850-01-01", "٣/٤/٢٠١٤x", "0.0.0"]
)
def test_a_day_that_is_none_is_told_with_line_and_column(text: str) -> None:
    told = wrong(given="Imani", born=text)
    assert (told.line, told.column, told.value) == (7, "the born", text)


@pytest.mark.parametrize(
    ("cells", "given", "family"),
    [
        ({"given": "Imani", "family_name": "Reyes"}, "Imani", "Reyes"),
        ({"full": "Imani Okonkwo-Reyes"}, "Imani", "Okonkwo-Reyes"),
        ({"full": "Okonkwo Reyes, Imani"}, "Imani", "Okonkwo Reyes"),
        ({"full": "Imani"}, "Imani", ""),
        ({"full": "Imani de la Cruz", "family_name": "de la Cruz"}, "Imani", "de la Cruz"),
        ({"given": " Imani \n Joy ", "family_name": "Reyes"}, "Imani Joy", "Reyes"),
    ],
)
def test_names(cells: dict[str, str], given: str, family: str) -> None:
    found = person(**cells)
    assert (found.given_name, found.family_name) == (given, family)


def test_a_line_without_a_first_name() -> None:
    assert wrong(given="", family_name="Reyes").why == "The student’s first name is missing."


@pytest.mark.parametrize(
    ("text", "size"),
    [("½", "1/2"), ("Full size", "4/4"), ("3 / 4", "3/4"), ("3/4-Geige", "3/4"), ("Halbe", "1/2")],
)
def test_sizes_as_people_write_them(text: str, size: str) -> None:
    assert person(given="Imani", size=text).size == size


def test_a_size_that_is_none() -> None:
    assert "no size of a violin" in wrong(given="Imani", size="2/3").why


def test_a_guardian_with_contacts() -> None:
    found = person(given="Imani", guardian="Tomás", email="t@example.org", phone="+351 21")
    assert found.guardians == (Grown("Tomás", "", "t@example.org", "+351 21"),)


def test_an_adults_contacts_are_his_own() -> None:
    found = person(given="Haruka", family_name="Ito", born="12.11.1988", email="h@example.org")
    assert found.guardians == (Grown("Haruka Ito", "the student", "h@example.org"),)


@pytest.mark.parametrize("born", ["5.3.2014", "26.11.2008"])
def test_a_childs_contacts_need_a_name(born: str) -> None:
    told = wrong(given="Imani", born=born, email="t@example.org")
    assert (told.column, told.why[:12]) == ("the email", "Whose is it?")


def test_on_the_eighteenth_birthday_they_are_her_own() -> None:
    found = person(given="Imani", born="25.11.2008", email="t@example.org")
    assert found.guardians == (Grown("Imani", "the student", "t@example.org"),)


def test_a_second_guardian() -> None:
    found = person(given="Imani", guardian="Tomás", guardian_2_given="Ngozi", phone_2="1 2")
    assert [each.name for each in found.guardians] == ["Tomás", "Ngozi"]
    assert found.guardians[1].phone == "1 2"


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        ({"given": "x" * 81}, "the given"),
        ({"given": "Imani", "guardian": "y" * 121}, "the guardian"),
        ({"given": "Imani", "guardian": "T", "email": "no address"}, "the email"),
        ({"given": "Imani", "guardian": "T", "phone": "1" * 41}, "the phone"),
        ({"given": "Imani", "guardian_2": "T", "email_2": "no address"}, "the email_2"),
        ({"given": "Imani", "household": "z" * 121}, "the household"),
    ],
)
def test_what_the_forms_refuse_is_refused(cells: dict[str, str], column: str) -> None:
    assert wrong(**cells).column == column


def test_the_order_of_days_is_seen_from_a_day_that_can_be_no_month() -> None:
    kinds = [Kind.BORN]
    assert order_of([Line(1, ("3/4/2014",)), Line(2, ("13/4/2014",))], kinds, "mdy") == "dmy"
    assert order_of([Line(1, ("3/14/2014",))], kinds, "dmy") == "mdy"
    assert order_of([Line(1, ("3/4/2014",))], kinds, "mdy") == "mdy"


@given(
    st.lists(st.text(max_size=20), min_size=21, max_size=21),
    st.permutations([kind for kind in Kind if kind]),
    st.sampled_from(["dmy", "mdy"]),
)
def test_any_cells_are_people_or_told(cells: list[str], kinds: list[Kind], order: str) -> None:
    found = read_people(
        [Line(1, tuple(cells))], kinds, [kind.value for kind in kinds], order=order, today=TODAY
    )
    assert len(found.people) + len(found.wrong) == any(cells[: len(kinds)])

"""Lines of a list as students and guardians, with what is wrong with them. Nothing is stored."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from django.core.exceptions import ValidationError
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from studio.people.forms import OLDEST_YEARS
from studio.people.models import THE_STUDENT, Guardian, Student
from studio.roster.headings import Kind
from studio.roster.tables import Line
from studio.web.days import long_day

ADULT_YEARS: Final = 18
ORDERS: Final = {"dmy": _("day, month, year"), "mdy": _("month, day, year")}
SIZES: Final = {
    **{size: size for size in Student.Size.values},
    **{"full": "4/4", "fullsize": "4/4", "1/1": "4/4", "whole": "4/4", "ganze": "4/4"},
    **{"half": "1/2", "halbe": "1/2", "½": "1/2", "¾": "3/4", "¼": "1/4", "⅛": "1/8", "⅞": "7/8"},
    **{"⅒": "1/10", "4": "4/4", "1": "4/4", "quarter": "1/4", "threequarter": "3/4"},
    **{"ganz": "4/4", "dreiviertel": "3/4", "halb": "1/2", "viertel": "1/4", "achtel": "1/8"},
}
NAMES_OF_IT = re.compile(r"(?<=.)(geige|violine?)$")  # "3/4-Geige"
_DAY = re.compile(r"(\d{1,4})[./\-\s]+(\d{1,2})[./\-\s]+(\d{1,4})\.?(?: 00:00(?::00)?)?")


@dataclass(frozen=True)
class Grown:
    """A guardian as the line has it."""

    name: str
    relation: str = ""
    email: str = ""
    phone: str = ""


@dataclass(frozen=True)
class Person:
    """One student of the list with the guardians of the line; `household` as the list names it."""

    line: int
    given_name: str
    family_name: str
    born: dt.date | None
    size: str
    started: dt.date | None
    notes: str
    household: str
    guardians: tuple[Grown, ...]

    @property
    def full_name(self) -> str:
        return f"{self.given_name} {self.family_name}".strip()


@dataclass(frozen=True)
class Wrong:
    """One thing that cannot be taken: where, what stands there, and why not."""

    line: int
    column: str
    value: str
    why: str


class NotSo(ValueError):
    """A value that cannot be taken: of which kind, what stands there, and why."""

    def __init__(self, kind: Kind, value: str, why: str) -> None:
        super().__init__(why)
        self.kind, self.value, self.why = kind, value, why


@dataclass(frozen=True)
class Reading:
    people: list[Person]
    wrong: list[Wrong]


def read_people(
    lines: Sequence[Line],
    kinds: Sequence[Kind],
    headings: Sequence[str],
    *,
    order: str,
    today: dt.date,
) -> Reading:
    """Every line as a student; a line with something wrong is told and left out."""
    people, wrong = [], []
    columns = {kind: place for place, kind in enumerate(kinds) if kind}
    for line in lines:
        cells = {
            kind: line.cells[place] if place < len(line.cells) else ""
            for kind, place in columns.items()
        }
        if not any(cells.values()):
            continue
        try:
            person = _person(line.number, cells, order, today)
        except NotSo as trouble:
            place = columns.get(trouble.kind)
            named = headings[place] if place is not None else ""
            wrong.append(Wrong(line.number, named, trouble.value[:80], trouble.why))
        else:
            people.append(person)
    return Reading(people, wrong)


def order_of(lines: Sequence[Line], kinds: Sequence[Kind], usual: str) -> str:
    """Whether days are written day first or month first, by a number that can be no month."""
    for place in (at for at, kind in enumerate(kinds) if kind in {Kind.BORN, Kind.STARTED}):
        for line in lines:
            match = _DAY.fullmatch(line.cells[place] if place < len(line.cells) else "")
            if match and len(match[1]) <= 2:
                if int(match[1]) > 12:
                    return "dmy"
                if int(match[2]) > 12:
                    return "mdy"
    return usual


def _person(line: int, cells: Mapping[Kind, str], order: str, today: dt.date) -> Person:
    given, family = _names(cells)
    born = _born(cells.get(Kind.BORN, ""), order, today)
    person = Person(
        line=line,
        given_name=given,
        family_name=family,
        born=born,
        size=_size(cells.get(Kind.SIZE, "")),
        started=_day(Kind.STARTED, cells.get(Kind.STARTED, ""), order, today),
        notes=cells.get(Kind.NOTES, ""),
        household=_one_line(cells.get(Kind.HOUSEHOLD, "")),
        guardians=_guardians(cells, f"{given} {family}".strip(), child=_is_child(born, today)),
    )
    if person.started and person.started > today + dt.timedelta(days=366):
        said = gettext("That day is more than a year ahead.")
        raise NotSo(Kind.STARTED, cells[Kind.STARTED], said)
    _check(person, cells)
    return person


def _names(cells: Mapping[Kind, str]) -> tuple[str, str]:
    given = _one_line(cells.get(Kind.GIVEN, ""))
    family = _one_line(cells.get(Kind.FAMILY_NAME, ""))
    whole = _one_line(cells.get(Kind.FULL, ""))
    if not given and whole:
        last, comma, first = whole.partition(",")
        if comma and first.strip():
            given, family = first.strip(), family or last.strip()
        elif family and whole.endswith(f" {family}"):
            given = whole.removesuffix(family).strip()
        else:
            given, _, split = whole.rpartition(" ") if " " in whole else (whole, "", "")
            family = family or split
    if not given:
        kind = Kind.GIVEN if Kind.GIVEN in cells else Kind.FULL
        raise NotSo(kind, cells.get(kind, ""), gettext("The student’s first name is missing."))
    return given, family


FIRST = (
    (Kind.GUARDIAN, Kind.GUARDIAN_GIVEN, Kind.GUARDIAN_FAMILY),
    (Kind.RELATION, Kind.EMAIL, Kind.PHONE),
)
SECOND = (
    (Kind.GUARDIAN_2, Kind.GUARDIAN_2_GIVEN, Kind.GUARDIAN_2_FAMILY),
    (Kind.RELATION_2, Kind.EMAIL_2, Kind.PHONE_2),
)


def _guardians(cells: Mapping[Kind, str], student: str, *, child: bool) -> tuple[Grown, ...]:
    """Those the line names. Contacts without a name are an adult student's own."""
    found = []
    for names, (relation, email, phone) in (FIRST, SECOND):
        whole, given, family = (_one_line(cells.get(kind, "")) for kind in names)
        name = whole or f"{given} {family}".strip()
        says = _one_line(cells.get(relation, ""))
        mail, number = cells.get(email, ""), _one_line(cells.get(phone, ""))
        if not name and (mail or number):
            if child or names is SECOND[0]:
                kind = email if mail else phone
                said = gettext("Whose is it? The line names no guardian.")
                raise NotSo(kind, mail or number, said)
            name, says = student, gettext(THE_STUDENT)
        if name:
            of_field = {"name": names[0], "relation": relation, "email": email, "phone": phone}
            _clean(Guardian(name=name, relation=says, email=mail, phone=number), of_field)
            found.append(Grown(name, says, mail, number))
    return tuple(found)


def _check(person: Person, cells: Mapping[Kind, str]) -> None:
    """What the program's own forms would refuse is refused here."""
    student = Student(
        given_name=person.given_name, family_name=person.family_name, notes=person.notes
    )
    of_field = {
        "given_name": Kind.GIVEN if cells.get(Kind.GIVEN) else Kind.FULL,
        "family_name": Kind.FAMILY_NAME if cells.get(Kind.FAMILY_NAME) else Kind.FULL,
        "notes": Kind.NOTES,
    }
    _clean(student, of_field)
    if len(person.household) > 120:
        raise NotSo(Kind.HOUSEHOLD, person.household, gettext("At most 120 characters fit."))


def _clean(row: Student | Guardian, kinds: Mapping[str, Kind]) -> None:
    others = {each.name for each in row._meta.concrete_fields} - set(kinds)
    try:
        row.clean_fields(exclude=others)
    except ValidationError as error:
        name, why = next(iter(error.message_dict.items()))
        value = str(getattr(row, name))
        said = " ".join(why)
        if name == "email":
            said = gettext("“{value}” is not an e-mail address.").format(value=value[:60])
        raise NotSo(kinds[name], value, said) from error


def _born(text: str, order: str, today: dt.date) -> dt.date | None:
    born = _day(Kind.BORN, text, order, today)
    if born and born > today:
        said = gettext("{day} is still to come.").format(day=long_day(born))
        raise NotSo(Kind.BORN, text, said)
    if born and born.year < today.year - OLDEST_YEARS:
        said = ngettext(
            "{day} is more than {n} year ago.", "{day} is more than {n} years ago.", OLDEST_YEARS
        )
        raise NotSo(Kind.BORN, text, said.format(day=long_day(born), n=OLDEST_YEARS))
    return born


def _day(kind: Kind, text: str, order: str, today: dt.date) -> dt.date | None:
    """2014-03-05, 5.3.2014, 05/03/14: read in the order given; two figures are the latest such."""
    if not text:
        return None
    match = _DAY.fullmatch(text)
    try:
        if match is None:
            raise ValueError(text)
        first, second, third = (int(match[n]) for n in (1, 2, 3))
        if len(match[1]) == 4:
            return dt.date(first, second, third)
        day, month = (first, second) if order == "dmy" else (second, first)
        if len(match[3]) == 2:
            third += 2000 if third <= today.year % 100 else 1900
        return dt.date(third, month, day)
    except ValueError as error:
        said = gettext("That is no day. Write it like 2014-03-05, or by {order}.")
        raise NotSo(kind, text, said.format(order=ORDERS[order])) from error


def _size(text: str) -> str:
    plain = NAMES_OF_IT.sub("", re.sub(r"[\s\-]+", "", text.casefold()))
    if not plain:
        return Student.Size.FULL
    if plain not in SIZES:
        known = ", ".join(Student.Size.values)
        said = gettext("That is no size of a violin. There are {sizes}.").format(sizes=known)
        raise NotSo(Kind.SIZE, text, said)
    return SIZES[plain]


def _is_child(born: dt.date | None, today: dt.date) -> bool:
    age = Student(birth_date=born).age_on(today)
    return age is not None and age < ADULT_YEARS


def _one_line(text: str) -> str:
    return " ".join(text.split())

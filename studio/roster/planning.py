"""Which families the people of a list make, and who of them is there already."""

from __future__ import annotations

import hashlib
import json
import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, field
from itertools import chain

from django.utils.translation import gettext as _

from studio.access.models import Studio
from studio.people.models import Family, Guardian, Student
from studio.roster.people import Grown, Person
from studio.web.search import folded


@dataclass
class Coming:
    """One student; `double` says of whom it seems to be a double, else ""."""

    person: Person
    double: str = ""
    chosen: bool = True


@dataclass
class Household:
    """A family to be made, or one that is there (`family`), with who comes into it."""

    name: str
    family: Family | None = None
    students: list[Coming] = field(default_factory=list)
    guardians: list[Grown] = field(default_factory=list)

    @property
    def coming(self) -> list[Coming]:
        return [each for each in self.students if each.chosen]


@dataclass
class RosterPlan:
    households: list[Household]

    @property
    def making(self) -> list[Household]:
        return [each for each in self.households if each.coming]

    @property
    def families(self) -> int:
        return sum(each.family is None for each in self.making)

    @property
    def guardians(self) -> int:
        return sum(len(each.guardians) for each in self.making)

    @property
    def students(self) -> int:
        return sum(len(each.coming) for each in self.households)

    @property
    def doubles(self) -> list[Coming]:
        return [each for of in self.households for each in of.students if each.double]

    @property
    def digest(self) -> str:
        """The same only when the same is going to be made, ticks left aside."""
        said = [
            [of.name, of.family and of.family.pk, [asdict(g) for g in of.guardians]]
            + [[asdict(each.person), each.double] for each in of.students]
            for of in self.households
        ]
        return hashlib.sha256(json.dumps(said, default=str).encode()).hexdigest()[:32]


def plan(studio: Studio, people: Sequence[Person], chosen: Iterable[int] = ()) -> RosterPlan:
    """`chosen` are the lines of doubles that come all the same. Reads; three queries."""
    there = _There(studio)
    lines = set(chosen)
    households: dict[str, list[Household]] = defaultdict(list)
    seen: dict[str, list[Person]] = defaultdict(list)
    for person in people:
        of_name = households[folded(name_of(person))]
        household = next((each for each in of_name if _same(each, person)), None)
        if household is None:
            household = Household(name_of(person), there.family_of(person))
            of_name.append(household)
        others = seen[folded(person.full_name)]
        double = there.double_of(person) or _double_in(others, person)
        others.append(person)
        household.students.append(Coming(person, double, not double or person.line in lines))
        for grown in person.guardians:
            known = any(_one(grown, other) for other in household.guardians)
            if not known and not there.knows(household.family, grown):
                household.guardians.append(grown)
    return RosterPlan(sorted(chain(*households.values()), key=_first_line))


def name_of(person: Person) -> str:
    return (person.household or person.family_name or person.given_name)[:120]


def _first_line(household: Household) -> int:
    return household.students[0].person.line


def _same(household: Household, person: Person) -> bool:
    """Of one name, and with a guardian in common.

    Without any guardian the list must name the family: two children of one surname may be
    strangers, and what a family sees of each other's pages must not rest on a guess.
    """
    theirs = [grown for each in household.students for grown in each.person.guardians]
    if theirs and person.guardians:
        return any(_one(one, two) for one in theirs for two in person.guardians)
    return bool(person.household)


def _one(one: Grown, two: Grown) -> bool:
    """Whether two lines speak of one grown-up."""
    if one.email and two.email:
        return one.email.casefold() == two.email.casefold() and _alike(one, two)
    return _alike(one, two)


def _alike(one: Grown, two: Grown) -> bool:
    return folded(one.name) == folded(two.name)


def _double_in(others: list[Person], person: Person) -> str:
    for other in others:
        if other.born is None or person.born is None or other.born == person.born:
            return _("line {line} of this list").format(line=other.line)
    return ""


class _There:
    """The people of the studio, read once."""

    def __init__(self, studio: Studio) -> None:
        self.families: dict[str, list[Family]] = defaultdict(list)
        for family in Family.objects.filter(studio=studio):
            self.families[folded(family.name)].append(family)
        self.guardians: dict[int, list[Guardian]] = defaultdict(list)
        for guardian in Guardian.objects.filter(family__studio=studio):
            self.guardians[guardian.family_id].append(guardian)
        self.students: dict[str, list[Student]] = defaultdict(list)
        for student in Student.objects.of(studio):
            self.students[folded(student.full_name)].append(student)

    def double_of(self, person: Person) -> str:
        for student in self.students[folded(person.full_name)]:
            born = student.birth_date
            if born is None or person.born is None or born == person.born:
                return _("{name} in your studio").format(name=student.full_name)
        return ""

    def family_of(self, person: Person) -> Family | None:
        """The family of that name that has one of the line's guardians."""
        for family in self.families[folded(name_of(person))]:
            if any(self.knows(family, grown) for grown in person.guardians):
                return family
        return None

    def knows(self, family: Family | None, grown: Grown) -> bool:
        if family is None:
            return False
        return any(
            (grown.email and guardian.email.casefold() == grown.email.casefold())
            or folded(guardian.name) == folded(grown.name)
            or (len(_digits(grown.phone)) > 5 and _digits(guardian.phone) == _digits(grown.phone))
            for guardian in self.guardians[family.pk]
        )


def _digits(text: str) -> str:
    return re.sub(r"\D", "", text)

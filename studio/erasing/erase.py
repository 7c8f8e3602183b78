"""A family erased: what goes, what stays, where else it is named; and the deed itself."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

from django.db import DEFAULT_DB_ALIAS, connections, models, transaction
from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from studio import clock
from studio.access.models import Studio
from studio.erasing import traces
from studio.erasing.models import SetApart
from studio.export.rules import Rule, all_rules
from studio.fields import PackedJSONField, UnsortedJSONField
from studio.lessons.models import Lesson, Slot
from studio.people.models import Family, Guardian, Student

AT_ONCE = 500
EXAMPLES = 4
A_WORD = _("it mostly stands there in small letters, so it may be a word")


@dataclass(frozen=True)
class Goes:
    """How many rows of one kind go with the family."""

    rows: int
    what: str


@dataclass
class Trace:
    """One name or address, and where it stands in what is not the family's own.

    `borne` says who or what else has it: then it may well mean somebody or something else.
    `small` counts the places at which it begins in small letters.
    """

    term: str
    places: int = 0
    small: int = 0
    examples: list[str] = field(default_factory=list)
    borne: str = ""

    def note(self, text: str, pattern: re.Pattern[str], rows: int) -> None:
        self.places += rows
        self.small += rows * traces.small(self.term, text, pattern)
        if len(self.examples) < EXAMPLES:
            self.examples.append(traces.around(text, pattern))


def goes(family: Family) -> list[Goes]:
    """What goes that a teacher knows by name."""
    found = []
    for rule in all_rules():
        if rule.family and rule.table:
            # Told apart by their numbers alone: ten years' items are many.
            count = rule.of_family(family).order_by().values("pk").count()
            if count:
                found.append(Goes(count, rule.table.counted(count)))
    if times := _slots(family).count():
        found.append(Goes(times, ngettext("weekly time", "weekly times", times)))
    return found


def terms(family: Family) -> list[str]:
    """What the family is known by, longest first: names, their parts, mail addresses, numbers."""
    students = list(family.students.all())
    guardians = list(family.guardians.all())
    names = [family.name, *(s.full_name for s in students), *(g.name for g in guardians)]
    names += [name for s in students for name in (s.given_name, s.family_name)]
    reached = [each for g in guardians for each in (g.email, g.phone)]
    found = [part for name in names if name.strip() for part in traces.parts(name)]
    known = dict.fromkeys(term for term in (*found, *reached) if term.strip())
    one_each = {traces.flat(term): term for term in reversed(list(known))}
    return sorted(one_each.values(), key=lambda term: (-len(term), term))


def traces_of(family: Family) -> list[Trace]:
    """Where else the family is named in the studio; terms that stand nowhere are left away."""
    found = [(Trace(term), traces.pattern(term)) for term in terms(family)]
    finder = traces.Finder(pattern for _, pattern in found)
    for rule in all_rules():
        for each in _texts(rule, family.studio, family):
            for text in filter(finder.finds, traces.strings(each.values)):
                flat = traces.flat(text)
                for trace, pattern in found:
                    if pattern.search(flat):
                        trace.note(text, pattern, each.rows)
    others = list(_borne_elsewhere(family))
    for trace, pattern in found:
        a_word = str(A_WORD) if 2 * trace.small > trace.places else ""
        trace.borne = next((of for name, of in others if pattern.search(traces.flat(name))), a_word)
    return [trace for trace, _ in found if trace.places]


def _borne_elsewhere(family: Family) -> Iterator[tuple[str, str]]:
    """Names of other people in the studio, and those of what is played there."""
    studio = family.studio
    for student in Student.objects.of(studio).exclude(family=family):
        sentence = gettext("another student, {name}, bears it too")
        yield student.full_name, sentence.format(name=student.full_name)
    for guardian in Guardian.objects.filter(family__studio=studio).exclude(family=family):
        sentence = gettext("another guardian, {name}, bears it too")
        yield guardian.name, sentence.format(name=guardian.name)
    yield studio.teacher, gettext("you bear it too")
    for rule in all_rules():
        for name in rule.titles:
            listed = Q(**{rule.belongs: studio}) | Q(**{f"{rule.belongs}__isnull": True})
            for title in rule.model._base_manager.filter(listed).values_list(name, flat=True):
                yield title, gettext("“{title}” is something to play").format(title=title)


def erase(family: Family, *, keep_ledger: bool, take_out: Collection[str]) -> SetApart | None:
    """Erase the family in one transaction, and each of the names `take_out` wherever it stands.

    What is set apart is the lessons' figures. On SQLite the freed space is written over.
    """
    studio, patterns = family.studio, [traces.pattern(term) for term in take_out]
    apart = None
    with written_over(), transaction.atomic():
        Studio.objects.select_for_update().get(pk=studio.pk)
        if keep_ledger:
            apart = _set_apart(family)
        _slots(family).delete()
        family.delete()
        for rule in all_rules():
            if rule.forget:
                rule.forget(studio)
            if patterns:
                _take_out(rule, studio, patterns)
    return apart


def _slots(family: Family) -> models.QuerySet[Slot]:
    """Weekly times that are this family's alone."""
    through = Slot.students.through
    of_slot = through._base_manager.filter(slot=OuterRef("pk"))
    return Slot.objects.filter(
        Exists(of_slot.filter(student__family=family)),
        ~Exists(of_slot.exclude(student__family=family)),
    )


def _set_apart(family: Family) -> SetApart | None:
    numbers = {pk: n for n, pk in enumerate(family.students.values_list("pk", flat=True), 1)}
    lines = [
        {
            "student": numbers[lesson.student_id],
            "date": lesson.date.isoformat(),
            "starts": f"{lesson.starts:%H:%M}",
            "minutes": lesson.minutes,
            "status": lesson.status,
        }
        for lesson in Lesson.objects.filter(student__family=family)
    ]
    if not lines:
        return None
    count = SetApart.objects.filter(studio=family.studio).count()
    return SetApart.objects.create(
        studio=family.studio,
        label=gettext("Family {n}").format(n=count + 1),
        erased=clock.today(family.studio),
        lines=lines,
    )


@dataclass(frozen=True)
class _Texts:
    """Texts by field of one row, or of all `rows` that have the same; `which` finds them."""

    which: Q
    rows: int
    values: dict[str, Any]


def _texts(rule: Rule, studio: Studio, but: Family | None = None) -> Iterator[_Texts]:
    """Of the studio's rows; rows of one family left away."""
    names = [each.name for each in rule.words]
    if not names:
        return
    rows = rule.of(studio)
    if but is not None and rule.model is Slot:
        rows = rows.exclude(pk__in=_slots(but))
    elif but is not None and rule.family:
        rows = rows.exclude(**{rule.family: but.pk})
    if any(isinstance(each, models.JSONField) for each in rule.words):
        for pk, *values in rows.values_list("pk", *map(_as_texts, rule.words)).iterator(AT_ONCE):
            yield _Texts(Q(pk=pk), 1, dict(zip(names, values, strict=True)))
        return
    # A million items have a few hundred titles.
    for *values, count in rows.order_by().values_list(*names).annotate(models.Count("pk")):
        each = dict(zip(names, values, strict=True))
        yield _Texts(_equal(each), count, each)


def _as_texts(field: models.Field[Any, Any]) -> Any:
    if not isinstance(field, PackedJSONField):
        return field.name
    return models.ExpressionWrapper(models.F(field.name), output_field=UnsortedJSONField())


def _equal(values: dict[str, Any]) -> Q:
    """As they are, letter for letter, also where there is none."""
    found = {name: value for name, value in values.items() if value is not None}
    return Q(**found, **{f"{name}__isnull": True for name in values.keys() - found.keys()})


def _take_out(rule: Rule, studio: Studio, patterns: list[re.Pattern[str]]) -> None:
    finder = traces.Finder(patterns)
    naming = [
        each.which
        for each in _texts(rule, studio)
        if any(map(finder.finds, traces.strings(each.values)))
    ]
    for which in naming:
        rows = rule.model._base_manager.filter(pk__in=rule.of(studio).filter(which).values("pk"))
        texts = rows.values(*(each.name for each in rule.words))[0]
        rows.update(**{name: traces.without(text, patterns) for name, text in texts.items()})


@contextmanager
def written_over() -> Iterator[None]:
    """SQLite leaves deleted rows in the file until their room is used again: not these.

    Outside the transaction it stands around, for only then can the log be emptied too.
    """
    connection = connections[DEFAULT_DB_ALIAS]
    if connection.vendor != "sqlite":
        yield
        return
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA secure_delete=ON")
        try:
            yield
        finally:
            cursor.execute("PRAGMA secure_delete=OFF")
        if not connection.in_atomic_block:
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")

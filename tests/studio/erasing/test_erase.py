"""A family erased leaves no trace in any row of any model, nor in the database's file."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.db import connection, models
from django.test import Client
from django.urls import reverse

from practice.models import LessonNote, PrintJob, Receipt, Report, Word
from studio.erasing import erase
from studio.erasing.forms import EraseForm
from studio.export.rules import all_rules, texts
from studio.links import tokens
from studio.models import (
    BusyTime,
    Family,
    HomeLink,
    Lesson,
    RecordEntry,
    RosterImport,
    SetApart,
    Slot,
    Student,
    Studio,
    Term,
)
from tests.factories import (
    NOW,
    AssignmentFactory,
    FamilyFactory,
    GuardianFactory,
    ItemFactory,
    LessonFactory,
    LogEntryFactory,
    PieceInHandFactory,
    PlanFactory,
    SheetFactory,
    SlotFactory,
    SpotFactory,
    StudentFactory,
    TermFactory,
)

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("frozen")]
# No other text of the program or its tests holds these.
GIVEN, NAME, ELDER = "Zephyrine", "Quillfeather-Abbasi", "Barnabus Quillfeather"
MAIL, PHONE = "barnabus@quill.example", "+44 20 7946 0991"
TRACES = ("zephyrine", "quillfeather", "abbasi", "barnabus", "quill.example", "79460991")
SPOKEN = f"{GIVEN} and Mr Quillfeather, {MAIL}, 020 {PHONE}; zephyrine’s"


@pytest.fixture
def family(studio: Studio) -> Family:
    """A family with something of every kind."""
    family = FamilyFactory.create(studio=studio, name=NAME, notes=SPOKEN)
    GuardianFactory.create(family=family, name=ELDER, email=MAIL, phone=PHONE)
    student = StudentFactory.create(family=family, given_name=GIVEN, family_name=NAME, notes=SPOKEN)
    lesson = LessonFactory.create(student=student, place=f"at {NAME}’s"[:80])
    LessonNote.objects.create(lesson=lesson, text=SPOKEN)
    Word.objects.create(student=student, date="2026-11-24", text=SPOKEN, source="home")
    Receipt.objects.create(key="0" * 32, student=student, received=NOW)
    plan = PlanFactory.create(assignment=AssignmentFactory.create(student=student))
    LogEntryFactory.create(item=ItemFactory.create(plan=plan, title=SPOKEN[:60]))
    SheetFactory.create(plan=plan)
    Report.objects.create(student=student, term=TermFactory.create(studio=studio), words=SPOKEN)
    SpotFactory.create(piece=PieceInHandFactory.create(student=student), what=SPOKEN[:90])
    tokens.issue(HomeLink(opens="student", family=family, student=student, label=GIVEN))
    SlotFactory.create(studio=studio, students=[student], link="https://meet.example/zephyrine")
    return family


@pytest.fixture
def neighbour(family: Family) -> Student:
    """Another family's child, who shares a lesson time with Zephyrine."""
    other = FamilyFactory.create(studio=family.studio, name="Brandauer")
    leonie = StudentFactory.create(family=other, given_name="Leonie", family_name="Brandauer")
    shared = SlotFactory.create(studio=family.studio, weekday=4, place=f"{NAME} house")
    shared.students.set([leonie, family.students.get()])
    LessonFactory.create(student=leonie, slot=shared)
    return leonie


def values() -> Iterator[tuple[str, str]]:
    """Every value of every row of every model of every app, and of the tables between them."""
    for model in apps.get_models(include_auto_created=True):
        for row in model._base_manager.values():
            for name, value in row.items():
                if isinstance(value, memoryview):
                    value = bytes(value)
                text = value if isinstance(value, str) else json.dumps(value, default=str)
                yield f"{model._meta.label}.{name}", text.lower()


def found_anywhere() -> set[str]:
    squeezed = ((where, text, "".join(filter(str.isdigit, text))) for where, text in values())
    return {
        where
        for where, text, digits in squeezed
        if any(trace in text or trace in digits for trace in TRACES)
    }


def erase_wholly(family: Family, *, keep_ledger: bool = True) -> SetApart | None:
    return erase.erase(family, keep_ledger=keep_ledger, take_out=erase.terms(family))


def test_no_trace_is_left_in_any_row(family: Family, neighbour: Student) -> None:
    """Every text field of every model that stays is filled with the family's names first."""
    planted = plant(family, neighbour)
    assert planted > 40
    assert len(found_anywhere()) > 40
    erase_wholly(family)
    assert found_anywhere() == set()


def plant(family: Family, neighbour: Student) -> int:
    """Speak of the family in every field of words that rows of others have."""
    from tests.studio.export.filling import filled

    other = filled()
    move_into(other, family.studio)
    Report.objects.exclude(student__family=family).update(given=NOW, figures={"x": "y"})
    BusyTime.objects.create(studio=family.studio, what="x", starts=NOW, ends=NOW + dt.timedelta(1))
    RecordEntry.objects.create(
        studio=family.studio, moment=NOW, what="erased", by="teacher", family=family
    )
    PrintJob.objects.create(
        studio=family.studio, kind="sheets", week="2026-11-23", asked=NOW, trouble="x"
    )
    planted = 0
    own = {
        rule.label: set(rule.of_family(family).values_list("pk", flat=True)) for rule in all_rules()
    }
    for rule in all_rules():
        for each in rule.words:
            rows = rule.of(family.studio).exclude(pk__in=own[rule.label])
            words: Any = SPOKEN[: each.max_length or 200]
            if isinstance(each, models.JSONField):
                words = {"deep": [{"er": SPOKEN}]}
            # Report rows that were given refuse a save, so the rows are written past it.
            planted += bool(rows.update(**{each.name: words}))
    return planted


def move_into(other: Studio, studio: Studio) -> None:
    """Give the studio everything of another, as if it had always been there."""
    Family.objects.filter(studio=other).update(studio=studio)
    for rule in all_rules():
        if rule.belongs == "studio" and rule.model is not Studio and not rule.settings:
            rule.of(other).update(studio=studio)


def test_every_field_of_words_is_planted_or_its_own(family: Family, neighbour: Student) -> None:
    """A field nobody filled would be no evidence; only these are of the erased alone."""
    plant(family, neighbour)
    said = {
        f"{rule.model._meta.label}.{each.name}"
        for rule in all_rules()
        for each in rule.words
        if rule.belongs and not rule.settings
    }
    assert said - found_anywhere() <= {"practice.PrintPart.trouble"}


WORDLESS = (
    models.AutoField,
    models.BooleanField,
    models.DateField,
    models.ForeignKey,
    models.GenericIPAddressField,
    models.IntegerField,
    models.TimeField,
    models.UUIDField,
)


def test_every_field_is_text_or_can_hold_no_words() -> None:
    """Texts are searched for names (each model has its rule); a field of a new kind fails here."""
    others = {
        f"{rule.label}.{each.name}"
        for rule in all_rules()
        for each in rule.model._meta.local_concrete_fields
        if not isinstance(each, WORDLESS)
        and each not in texts(rule.model)
        and not getattr(each, "choices", None)
    }
    assert others == {"practice.score.data"}  # the teacher's own file, never changed


def test_others_keep_everything(family: Family, neighbour: Student) -> None:
    erase_wholly(family)
    assert list(Student.objects.all()) == [neighbour]
    assert Lesson.objects.filter(student=neighbour).count() == 1
    slot = Slot.objects.get()
    assert list(slot.students.all()) == [neighbour]
    assert slot.place == "… house"
    assert Term.objects.count() == 1


def test_another_studio_is_not_touched(family: Family, other_student: Student) -> None:
    Student.objects.filter(pk=other_student.pk).update(notes=SPOKEN)
    assert [trace.term for trace in erase.traces_of(family)] == []
    erase_wholly(family)
    other_student.refresh_from_db()
    assert other_student.notes == SPOKEN


def test_the_ledger_is_set_apart_without_names(family: Family) -> None:
    apart = erase_wholly(family)
    assert apart is not None
    assert apart.label == "Family 1"
    assert apart.lines == [
        {
            "student": 1,
            "date": "2026-11-25",
            "starts": "16:15",
            "minutes": 30,
            "status": "planned",
        }
    ]


def test_nothing_is_set_apart_against_her_wish(family: Family) -> None:
    assert erase_wholly(family, keep_ledger=False) is None
    assert not SetApart.objects.exists()


def test_links_die_at_once(family: Family, client: Client) -> None:
    link = HomeLink.objects.get()
    token = tokens.shown_again(link)
    assert client.get(reverse("home:home", args=[token])).status_code in {200, 302}
    erase_wholly(family)
    assert client.get(reverse("home:home", args=[token])).status_code == 404


def test_where_else_it_is_named_is_shown(family: Family, neighbour: Student) -> None:
    Student.objects.filter(pk=neighbour.pk).update(notes="Plays with Zephyrine.")
    found = {trace.term: trace for trace in erase.traces_of(family)}
    assert found[GIVEN].examples == ["Plays with Zephyrine."]
    assert found[NAME].places == 1  # the place of the shared time is the family's until then


def test_a_name_others_bear_is_told(family: Family, neighbour: Student) -> None:
    Student.objects.filter(pk=neighbour.pk).update(
        given_name=GIVEN, notes="Zephyrine likes thirds."
    )
    found = {trace.term: trace for trace in erase.traces_of(family)}
    assert found[GIVEN].borne == f"another student, {GIVEN} Brandauer, bears it too"
    erase.erase(family, keep_ledger=False, take_out=[])
    neighbour.refresh_from_db()
    assert neighbour.notes == "Zephyrine likes thirds."


@pytest.mark.parametrize(
    ("notes", "ticked"),
    [
        ("Will played. will, tired", True),
        ("It will be long. They will try Will’s bow.", False),
    ],
)
def test_a_name_that_is_a_common_word_is_left_unticked(
    family: Family, neighbour: Student, notes: str, ticked: bool
) -> None:
    family.students.update(given_name="Will")
    for text in notes.split(". "):
        Word.objects.create(student=neighbour, date="2026-11-24", text=text, source="home")
    form = EraseForm(user=family.studio.owner, found=erase.traces_of(family), backups=0)
    assert "Will" in dict(form.fields["take_out"].choices)  # type: ignore[attr-defined]
    assert ("Will" in form.fields["take_out"].initial) == ticked


def test_a_roster_forgets_whom_it_made(family: Family) -> None:
    made = RosterImport.objects.create(studio=family.studio, name="list.csv", made=NOW)
    made.students.set(family.students.all())
    erase_wholly(family)
    assert not made.students.exists()


@pytest.mark.django_db(transaction=True)
@pytest.mark.skipif("connection.vendor != 'sqlite'")
def test_nothing_is_left_in_the_file(family: Family) -> None:
    """SQLite leaves deleted rows lying in its file; these are written over."""
    path = Path(connection.settings_dict["NAME"])
    files = [path, path.with_name(f"{path.name}-wal")]

    def lying() -> bool:
        content = b"".join(file.read_bytes() for file in files if file.exists()).lower()
        return any(trace.encode() in content for trace in TRACES[:4])

    assert lying()
    erase_wholly(family)
    assert not lying()

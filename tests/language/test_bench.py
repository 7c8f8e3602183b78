"""The Bench, the Desk and the builder's sentences in German."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from django.test import Client
from django.utils import translation
from hypothesis import given

from practice.bench.week_view import week_view
from practice.models import Plan
from practice.planning.types import DayIn, Item, ScaleIn, WeekInputs, WeekPlan
from practice.planning.versions import build
from practice.planning.words import Told
from practice.plans.hand import hand_of
from studio.models import Student, Studio
from tests import factories
from tests.factories import DAY
from tests.language.leftover import english, left_in_english
from tests.pages.lesson import after_a_lesson
from tests.pages.test_bench import form_of, post
from tests.pure.planning.strategies import pinned_weeks, wild_weeks

# Days, a note and a title that are the same letters as an English message.
SAME_LETTERS = {"Do", "Mi", "So"}


def without_words(plan: WeekPlan) -> WeekPlan:
    """The decisions alone: items with their minutes, and how many sentences."""

    def bare(item: Item) -> Item:
        return replace(item, title="", reason="")

    return replace(
        plan,
        days=tuple(
            replace(
                day,
                note=str(bool(day.note)),
                waiting=tuple(replace(each, title="", reason="") for each in day.waiting),
                sessions=tuple(
                    replace(session, name="", items=tuple(map(bare, session.items)))
                    for session in day.sessions
                ),
            )
            for day in plan.days
        ),
        cautions=tuple("" for _ in plan.cautions),
        unmet=tuple("" for _ in plan.unmet),
    )


def sentences(plan: WeekPlan) -> list[str]:
    items = [item.reason for day in plan.days for item in day.items]
    waits = [waiting.reason for day in plan.days for waiting in day.waiting]
    notes = [day.note for day in plan.days if day.note]
    return [*items, *waits, *notes, *plan.cautions, *plan.unmet]


@given(pinned_weeks() | wild_weeks())
def test_a_week_is_the_same_week_in_every_language(inputs: WeekInputs) -> None:
    plan = build(inputs)
    with translation.override("de"):
        german = build(inputs)
        assert build(inputs) == german
    assert without_words(german) == without_words(plan)
    assert [each for each in sentences(german) if each in english()] == []
    assert not set(sentences(german)) & set(sentences(plan))
    told = [each.days for each in plan.unmet if isinstance(each, Told)]
    assert [each.days for each in german.unmet if isinstance(each, Told)] == told


@pytest.fixture
def full(student: Student) -> Student:
    student.session_1, student.session_2 = "Vor der Schule", "Nach der Schule"
    student.save()
    return after_a_lesson(student)


@pytest.mark.django_db
@pytest.mark.usefixtures("frozen")
def test_what_is_kept_to_build_from_holds_no_translated_word(
    german: Client, studio: Studio, full: Student
) -> None:
    post(german, "bench-save", full, form_of(german, full))
    in_german = Plan.objects.get().inputs
    studio.locale = "en-gb"
    studio.save()
    post(german, "bench-save", full, form_of(german, full))
    in_english = Plan.objects.get().inputs
    assert in_german.pop("etude") != in_english.pop("etude")  # a title, with its "no."
    called = [[each.pop("title") for each in kept["pieces"]] for kept in (in_german, in_english)]
    assert [titles[0] for titles in called] == ["Menuett G-Dur", "Minuet in G"]
    assert in_german == in_english


@pytest.mark.django_db
@pytest.mark.usefixtures("frozen")
def test_what_is_alike_on_several_days_is_told_once_in_german(full: Student) -> None:
    days = tuple(DayIn(DAY + dt.timedelta(days=n), 1) for n in range(4))
    with translation.override("de"):
        plan = build(WeekInputs(days, scale=ScaleIn(1, "G major")))
        view = week_view(plan, hand_of(full), None)
    assert len(plan.unmet) == 4
    assert view.unmet == (
        "Mittwoch hat 1 Minute, zu wenig für Einspielen und Tonleiter: an diesem Tag keine"
        " Tonleiter. Ebenso am Donnerstag, Freitag und Samstag.",
    )


@pytest.mark.django_db
@pytest.mark.usefixtures("frozen")
def test_a_page_shown_in_another_language_was_not_changed_by_another_window(
    signed_in: Client, studio: Studio, full: Student
) -> None:
    data = form_of(signed_in, full, listen_for="Klang.")
    studio.locale = "de"
    studio.save()
    assert post(signed_in, "bench-save", full, data).status_code == 302


@pytest.mark.django_db
@pytest.mark.usefixtures("frozen")
@pytest.mark.parametrize(
    "address",
    [
        "/",
        "/week/",
        "/log-files/",
        "/students/{pk}/bench/",
        "/students/{pk}/stands/",
        "/students/{pk}/returned/",
        "/students/{pk}/notes/",
        "/lessons/{lesson}/notes/",
    ],
)
def test_no_page_of_bench_and_desk_keeps_english(
    german: Client, full: Student, address: str
) -> None:
    past = DAY - dt.timedelta(days=6)
    plan = factories.PlanFactory.create(assignment=full.assignments.get(starts=past))
    item = factories.ItemFactory.create(plan=plan, date=past, minutes=20)
    factories.ItemFactory.create(plan=plan, date=past, minutes=5, part="etude", key="etude:1")
    factories.LogEntryFactory.create(item=item, minutes=15)
    lesson = full.lessons.get(date=DAY)
    page = german.get(address.format(pk=full.pk, lesson=lesson.pk))
    assert page.status_code == 200
    assert left_in_english(page.content.decode()) - SAME_LETTERS == set()

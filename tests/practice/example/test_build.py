"""The saved example. It is built twice, for two teachers, and then only looked at."""

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Iterable
from itertools import pairwise
from typing import Any, ClassVar

from django.db.models import F, Q, Sum
from django.test import TestCase

from practice.example.build import Written, build_example
from practice.logs.history import history_of
from practice.models import (
    Assignment,
    Item,
    LogEntry,
    Mark,
    PieceInHand,
    Plan,
    ScaleInHand,
    Spot,
    Word,
)
from practice.plans.generate import Wanted, built, past_of, week_inputs
from practice.plans.hand import hand_of
from practice.plans.weeks import week_from
from practice.programme.rules import weight
from practice.recitals.order import bent, performances_of
from studio.lessons.ledgers import term_ledgers
from studio.models import Lesson, Recital, Student, Studio, Term
from tests import factories
from tests.practice.example.digest import rows

TODAY = factories.DAY


class ExampleStudio(TestCase):
    studio: ClassVar[Studio]
    other: ClassVar[Studio]
    written: ClassVar[Written]

    @classmethod
    def setUpTestData(cls) -> None:
        cls.studio = factories.StudioFactory.create(teacher="Maeve", zone="Europe/Dublin")
        cls.other = factories.StudioFactory.create(teacher="Maeve", zone="Europe/Dublin")
        cls.written = build_example(cls.studio, TODAY)
        build_example(cls.other, TODAY)

    def students(self) -> Iterable[Student]:
        return Student.objects.of(self.studio).select_related("family__studio")

    def student(self, name: str) -> Student:
        return Student.objects.of(self.studio).get(given_name=name)

    def test_same_day_same_rows(self) -> None:
        one, two = rows(self.studio), rows(self.other)
        assert {name: len(found) for name, found in one.items()} == {
            name: len(found) for name, found in two.items()
        }
        assert one == two

    def test_it_counts_what_it_wrote(self) -> None:
        written = self.written
        mine = Q(student__family__studio=self.studio)
        assert written.students == Student.objects.of(self.studio).count() == 24
        assert written.lessons == Lesson.objects.of(self.studio).count()
        assert written.weeks == Assignment.objects.filter(mine).count()
        assert (
            written.items
            == Item.objects.filter(plan__assignment__student__family__studio=self.studio).count()
        )
        assert written.entries == self.entries().count()
        assert written.words == Word.objects.filter(mine).count()

    def test_every_day_adds_up_to_its_budget(self) -> None:
        days = 0
        for plan in self.plans():
            sums: Counter[dt.date] = Counter()
            for item in plan.items.all():
                assert item.minutes >= 1
                sums[item.date] += item.minutes
            for day, budget in zip(built(plan).days, plan.assignment.minutes, strict=True):
                assert day.budget == budget
                assert sums[day.date] == day.minutes
                assert day.minutes == budget or (day.minutes < budget and day.note)
                days += bool(day.minutes)
        assert days > 2000

    def test_a_stored_week_can_be_built_again_from_its_inputs(self) -> None:
        for plan in self.plans():
            again = [
                (day.date, session.number, item.key, item.minutes)
                for day in built(plan).days
                for session in day.sessions
                for item in session.items
            ]
            kept = [(i.date, i.session, i.key, i.minutes) for i in plan.items.all()]
            assert kept == again
            assert plan.details.keys() == {key for _, _, key, _ in kept}

    def test_the_latest_weeks_are_those_the_bench_would_build_now(self) -> None:
        """What was kept in memory while inventing is what the rows say."""
        for student in self.students():
            latest = student.assignments.order_by("-starts")[0]
            plan = latest.plan
            past = past_of(student, latest.starts)
            assert past.history.days_off == history_of(student, latest.starts).days_off
            wanted = Wanted(tuple(latest.minutes), idea=latest.idea)
            week = week_from(student, latest.starts, latest.lesson)
            inputs = week_inputs(student, week, hand_of(student), wanted, past)
            assert in_any_order(inputs.to_json()) == in_any_order(plan.inputs), student

    def test_never_more_than_two_pieces_in_hand_and_one_scale(self) -> None:
        for student in self.students():
            assert most_at_once(student.pieces.all(), "started", "finished") <= 2
            assert most_at_once(student.scales.all(), "since", "until") <= 1
            assert most_at_once(student.etudes.all(), "since", "until") <= 1
        assert ScaleInHand.objects.filter(student__family__studio=self.studio).count() > 50

    def test_a_spot_lives_while_its_piece_is_in_hand(self) -> None:
        spots = Spot.objects.filter(piece__student__family__studio=self.studio)
        assert spots.count() > 80
        assert not spots.filter(opened__lt=F("piece__started")).exists()
        assert not spots.filter(solved__gt=F("piece__finished")).exists()
        open_spots = Counter(spots.exclude(state="solved").values_list("piece__student", flat=True))
        assert max(open_spots.values()) <= 4
        done = spots.filter(piece__stage=PieceInHand.Stage.FINISHED)
        assert not done.exclude(state=Spot.State.SOLVED).exists()

    def test_logs_lie_in_the_past_and_are_ticked_after_their_day_began(self) -> None:
        for entry in self.entries().select_related("item"):
            assert entry.item.date < TODAY
            assert entry.item.date <= entry.done_told.date() <= TODAY

    def test_every_family_logs_in_its_own_way(self) -> None:
        assert not self.entries_of("Ruairí").exists()
        rounded = self.entries_of("Inés").filter(item__minutes__gte=3)
        assert all(entry.minutes % 5 == 0 for entry in rounded)
        sums = self.entries_of("Tadhg").aggregate(
            logged=Sum("minutes"), planned=Sum("item__minutes")
        )
        assert sums["logged"] > 1.2 * sums["planned"]
        eves = {e.done_told.date() for e in self.entries_of("Şebnem")}
        assert len(eves) < len(set(self.entries_of("Şebnem").values_list("item__date")))
        assert set(self.entries_of("Páidí").values_list("source", flat=True)) == {"paper"}
        assert set(self.entries_of("Cáit").values_list("source", flat=True)) == {"file"}
        share = self.entries_of("Kwabena").count() / self.items_of("Kwabena").count()
        assert 0 < share < 0.3
        assert self.entries_of("Bảo Châu").count() / self.items_of("Bảo Châu").count() > 0.7

    def test_in_two_homes_every_other_week_is_hardly_logged(self) -> None:
        by_week: dict[bool, list[int]] = defaultdict(list)
        for plan in self.plans().filter(assignment__student__given_name="Łucja"):
            week = (plan.assignment.starts - dt.date(2026, 11, 23)).days // 7
            count = LogEntry.objects.filter(item__plan=plan).count()
            by_week[week % 2 == 0].append(count)
        assert mean(by_week[True]) > 2 * mean(by_week[False])

    def test_the_ledger_of_each_term_sums(self) -> None:
        for term in Term.objects.of(self.studio):
            ledgers, _ = term_ledgers(term, self.students(), TODAY)
            assert all(ledger.sums for ledger in ledgers.values())
            assert sum(ledger.made_up for ledger in ledgers.values())

    def test_one_recital_is_over_and_one_is_to_come(self) -> None:
        past, coming = Recital.objects.of(self.studio).order_by("date")
        assert past.date < TODAY < coming.date
        for recital, least in ((past, 10), (coming, 15)):
            found = recital.programme.performances
            assert found.count() >= least
            playing = set(found.values_list("student", flat=True))
            playing |= set(found.exclude(partner=None).values_list("partner", flat=True))
            assert playing == set(recital.players.values_list("pk", flat=True))
            assert not weight(bent(recital.programme, performances_of(recital.programme)))
        assert coming.programme.moved_by_hand
        assert coming.programme.performances.filter(seconds=None).exists()
        assert coming.programme.performances.exclude(partner=None).exists()
        assert past.programme.own_thanks.exists()

    def test_marks_words_and_sentences_are_many(self) -> None:
        mine = {"student__family__studio": self.studio}
        said = Assignment.objects.filter(**mine).values_list("listen_for", flat=True)
        assert len(set(said)) >= 60
        words = Word.objects.filter(**mine).values_list("text", flat=True)
        assert len(set(words)) >= 50
        marks = Mark.objects.filter(lesson__student__family__studio=self.studio)
        assert set(marks.values_list("heard", flat=True)) == {1, 2, 3}
        for student in self.students():
            texts = list(
                student.assignments.order_by("starts").values_list("listen_for", flat=True)
            )
            assert all(one != two for one, two in pairwise(texts))

    def plans(self) -> Any:
        mine = Plan.objects.filter(assignment__student__family__studio=self.studio)
        return mine.select_related("assignment").prefetch_related("items")

    def entries(self) -> Any:
        return LogEntry.objects.filter(item__plan__assignment__student__family__studio=self.studio)

    def entries_of(self, name: str) -> Any:
        return self.entries().filter(item__plan__assignment__student__given_name=name)

    def items_of(self, name: str) -> Any:
        return Item.objects.filter(
            plan__assignment__student__family__studio=self.studio,
            plan__assignment__student__given_name=name,
            date__lt=TODAY,
        )


def most_at_once(found: Iterable[Any], since: str, until: str) -> int:
    """How many of the stretches hold one day at most; a day of change counts for the new one."""
    changes = sorted(
        change
        for row in found
        for change in (
            (getattr(row, since), 1),
            (getattr(row, until) or dt.date.max, -1),
        )
    )
    count = most = 0
    for _, step in changes:
        count += step
        most = max(most, count)
    return most


def in_any_order(inputs: dict[str, Any]) -> dict[str, Any]:
    """Logged minutes come in the order of their keys, which two databases sort differently."""
    history = inputs["history"]
    logged = sorted(history["logged"], key=lambda each: (each["date"], each["key"]))
    left_out = sorted(history["left_out"])
    return inputs | {"history": history | {"logged": logged, "left_out": left_out}}


def mean(numbers: list[int]) -> float:
    return sum(numbers) / len(numbers)

"""What the Bench of one student stands on, fetched once for a request."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from functools import cached_property

from django.db.models import QuerySet

from practice.bench.cards import Cards, cards_of
from practice.bench.wishes import stored_pins
from practice.logs.history import LastWeek, last_week
from practice.music.errors import MusicError
from practice.music.keys import Key, next_key, parse_key
from practice.planning.types import Pins
from practice.plans.generate import Past, past_of
from practice.plans.hand import Hand, hand_of
from practice.plans.models import Assignment
from practice.plans.weeks import Week, usual_minutes, week_at_hand
from practice.repertoire.models import Favourite, Idea, Work, WorkQuerySet
from studio.access.models import Studio
from studio.lessons.models import Lesson
from studio.people.models import Student


@dataclass
class Bench:
    """`assignment` is this week's, when something is decided already; `before` the last one."""

    student: Student
    today: dt.date
    week: Week
    hand: Hand
    assignment: Assignment | None
    before: Assignment | None

    @property
    def studio(self) -> Studio:
        return self.student.family.studio

    @property
    def default(self) -> Assignment | None:
        """Where sentences and choices come from: this week's decision, else last week's."""
        return self.assignment or self.before

    @property
    def revision(self) -> int:
        return self.assignment.revision if self.assignment else 0

    @property
    def minutes(self) -> tuple[int, ...]:
        """This week's budgets where they are decided, else the student's usual ones."""
        if self.assignment and len(self.assignment.minutes) == len(self.week.days):
            return tuple(self.assignment.minutes)
        return usual_minutes(self.student, self.week)

    @property
    def pins(self) -> Pins:
        """Wishes are for one week, so last week's do not come back."""
        return stored_pins(self.assignment.pins) if self.assignment else Pins()

    @cached_property
    def past(self) -> Past:
        return past_of(self.student, self.week.starts)

    @cached_property
    def last_week(self) -> LastWeek | None:
        return last_week(self.student, self.week.starts)

    @cached_property
    def next_lesson(self) -> Lesson | None:
        """The first lesson that falls into the week or after it."""
        if self.week.lessons:
            return self.week.lessons[0]
        return Lesson.objects.next_for(self.student, self.week.ends)

    @cached_property
    def cards(self) -> Cards:
        return cards_of(self.student, self.hand)

    @cached_property
    def following_key(self) -> Key | None:
        if self.hand.scale is None:
            return None
        try:
            return next_key(parse_key(self.hand.scale.key))
        except MusicError:
            return None

    @cached_property
    def following_etude(self) -> Work | None:
        """The next number of the same collection, where the catalogue has it."""
        etude = self.hand.etude
        if etude is None or not etude.number.isdecimal():
            return None
        now = self.works.get(pk=etude.work_id)
        same = self.works.filter(composer=now.composer, title=now.title, opus=now.opus)
        later = [
            work
            for work in same
            if work.number.isdecimal() and int(work.number) > int(etude.number)
        ]
        return min(later, key=lambda work: int(work.number), default=None)

    @property
    def works(self) -> WorkQuerySet:
        return Work.objects.open_to(self.studio)

    @property
    def favourites(self) -> QuerySet[Favourite]:
        return Favourite.objects.filter(student=self.student, retired=None).select_related("work")

    @property
    def ideas(self) -> QuerySet[Idea]:
        return Idea.objects.filter(studio=None) | Idea.objects.filter(studio=self.studio)


def bench_of(student: Student, today: dt.date) -> Bench:
    week = week_at_hand(student, today)
    rows = Assignment.objects.filter(student=student, starts__lte=week.starts)
    latest = list(rows.select_related("favourite", "idea").order_by("-starts")[:2])
    now = [row for row in latest if row.starts == week.starts]
    earlier = [row for row in latest if row.starts < week.starts]
    return Bench(
        student=student,
        today=today,
        week=week,
        hand=hand_of(student),
        assignment=now[0] if now else None,
        before=earlier[0] if earlier else None,
    )

"""One student's weeks: decided at the lesson, built by the real builder, logged by home."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field
from random import Random
from typing import Final
from zoneinfo import ZoneInfo

from practice.example import home
from practice.example.cast import Pupil
from practice.example.diary import Diary
from practice.example.hands import hand_at
from practice.example.learning import Learner, Library
from practice.example.moments import Moment
from practice.example.seasons import Year
from practice.example.voices import Teacher, Voices
from practice.logs.models import LessonNote, LogEntry, Mark, ScaleHeard, Word
from practice.planning.versions import build
from practice.plans.generate import Wanted, item_rows, week_inputs
from practice.plans.models import Assignment, Item, Plan
from practice.plans.weeks import Week, usual_minutes
from practice.repertoire.models import Idea
from studio.lessons.models import Lesson
from studio.people.models import Student

A_WEEK: Final = dt.timedelta(weeks=1)
A_DAY: Final = dt.timedelta(days=1)
OTHER_MINUTES: Final = 0.12  # share of weeks in which one day's budget is changed by hand
CHECKED: Final = 0.7
MARKED: Final = 0.85
NOTED, NOTED_ON_SHEET = 0.3, 0.08


@dataclass(frozen=True)
class Decision:
    """A week that begins; `lesson` is None where the week before was simply kept."""

    lesson: Lesson | None
    starts: dt.date
    moment: Moment


@dataclass
class Weeks:
    """Rows not saved yet, in order; an item's log has the item itself."""

    assignments: list[Assignment] = field(default_factory=list)
    plans: list[Plan] = field(default_factory=list)
    items: list[Item] = field(default_factory=list)
    entries: list[LogEntry] = field(default_factory=list)
    words: list[Word] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    scales_heard: list[ScaleHeard] = field(default_factory=list)
    notes: list[LessonNote] = field(default_factory=list)


@dataclass
class Life:
    """All that is known of one student: first what was in hand, then the weeks."""

    pupil: Pupil
    student: Student
    lessons: list[Lesson]
    rng: Random
    learner: Learner
    decisions: list[Decision]


def live(
    pupil: Pupil,
    student: Student,
    lessons: list[Lesson],
    year: Year,
    library: Library,
    seed: int,
) -> Life:
    """What was in hand from the first lesson to today, and the weeks that were decided."""
    rng = Random(f"{seed}:{pupil.key}")  # noqa: S311
    learner = Learner(pupil, student, library, rng)
    decisions: list[Decision] = []
    for lesson in lessons:
        if lesson.makes_up is not None or lesson.date > year.today:
            continue
        starts = lesson.date + A_DAY
        if lesson.status == Lesson.Status.KEPT:
            moment = learner.lesson(lesson.date, year.week_of(lesson.date))
            decisions.append(Decision(lesson, starts, moment))
            if pupil.every == 2 and _in_term(starts + A_WEEK, year):
                decisions.append(Decision(None, starts + A_WEEK, moment))
        elif decisions and starts <= year.today and _was_told(lesson):
            decisions.append(Decision(None, starts, decisions[-1].moment))
    return Life(pupil, student, lessons, rng, learner, decisions)


def _was_told(lesson: Lesson) -> bool:
    """Teacher and family spoke, so the week was kept without a lesson."""
    by_teacher = lesson.status == Lesson.Status.CANCELLED_BY_TEACHER
    return by_teacher or bool(lesson.with_notice)


def _in_term(day: dt.date, year: Year) -> bool:
    in_term = any(term.starts <= day <= term.ends for term in year.terms)
    closed = any(closure.starts <= day <= closure.ends for closure in year.closures)
    return in_term and not closed and day <= year.today


class Chronicle:
    """Writes one student's weeks. What the student has in hand must be saved before."""

    def __init__(self, life: Life, year: Year, ideas: Sequence[Idea], voices: Voices) -> None:
        self.life, self.year, self.ideas, self.voices = life, year, ideas, voices
        self.zone = ZoneInfo(life.student.family.studio.zone)
        self.teacher = Teacher(life.pupil, life.rng)
        self.diary = Diary()
        self.weeks = Weeks()

    def write(self) -> Weeks:
        for decision in self.life.decisions:
            self._week(decision)
        self._latest_word()
        moments = {each.lesson: each.moment for each in self.life.decisions if each.lesson}
        moment = None
        for lesson in self.life.lessons:
            moment = moments.get(lesson, moment)
            if lesson.status == Lesson.Status.KEPT and moment is not None:
                self._heard(lesson, moment)
        return self.weeks

    def _week(self, decision: Decision) -> None:
        life, rng = self.life, self.life.rng
        student, starts = life.student, decision.starts
        week = Week(starts, decision.lesson, self._lessons_in(starts))
        idea = rng.choice(self.ideas)
        minutes = self._minutes(usual_minutes(student, week))
        hand = hand_at(decision.moment)
        wanted = Wanted(minutes, idea=idea)
        inputs = week_inputs(student, week, hand, wanted, self.diary.past(starts))
        assignment = self._assignment(decision, minutes, idea)
        built = build(inputs)
        plan = Plan(assignment=assignment, builder_version=built.version, inputs=inputs.to_json())
        plan.changed = assignment.decided
        items = item_rows(plan, built, hand, idea)
        at_home = home.Week(
            self.year.week_of(starts),
            starts,
            min(starts + 6 * A_DAY, self.year.today - A_DAY),
            self._handed_in(starts),
        )
        entries = home.entries(life.pupil, rng, items, decision.moment, at_home, self.zone)
        self.diary.add(starts, minutes, items, entries)
        self.weeks.assignments.append(assignment)
        self.weeks.plans.append(plan)
        self.weeks.items += items
        self.weeks.entries += entries
        self._word(plan, at_home)

    def _lessons_in(self, starts: dt.date) -> tuple[Lesson, ...]:
        last = starts + 6 * A_DAY
        return tuple(
            lesson
            for lesson in self.life.lessons
            if starts <= lesson.date <= last and not lesson.fell_out
        )

    def _minutes(self, usual: tuple[int, ...]) -> tuple[int, ...]:
        rng, days = self.life.rng, [number for number, minutes in enumerate(usual) if minutes]
        if not days or rng.random() >= OTHER_MINUTES:
            return usual
        other, day = list(usual), rng.choice(days)
        other[day] = rng.choice((0, -(-usual[day] // 2), usual[day] + 5, usual[day] + 10))
        return tuple(other)

    def _assignment(self, decision: Decision, minutes: tuple[int, ...], idea: Idea) -> Assignment:
        pupil, rng, lesson = self.life.pupil, self.life.rng, decision.lesson
        decided = self._after(lesson) if lesson else self._at(decision.starts - A_DAY, dt.time(19))
        by_screen = pupil.on_screen or pupil.habit == "file"
        passed_on = decided + dt.timedelta(minutes=2)
        unprinted = lesson is not None and lesson.date == self.year.today
        return Assignment(
            student=self.life.student,
            lesson=lesson,
            starts=decision.starts,
            minutes=list(minutes),
            listen_for=self.teacher.listen.deal(),
            to_check=self.teacher.check.deal() if rng.random() < CHECKED else "",
            idea=idea,
            decided=decided,
            changed=decided,
            printed=None if by_screen or unprinted else passed_on,
            sent=passed_on if by_screen else None,
        )

    def _after(self, lesson: Lesson) -> dt.datetime:
        return lesson.begins(self.zone) + dt.timedelta(minutes=lesson.minutes)

    def _at(self, day: dt.date, time: dt.time) -> dt.datetime:
        return dt.datetime.combine(day, time, tzinfo=self.zone).astimezone(dt.UTC)

    def _handed_in(self, starts: dt.date) -> dt.datetime | None:
        """The end of the first lesson from the week's fourth day on, if it has been."""
        for lesson in self.life.lessons:
            if lesson.date >= starts + 3 * A_DAY and lesson.status == Lesson.Status.KEPT:
                return self._after(lesson) if lesson.date < self.year.today else None
        return None

    def _word(self, plan: Plan, week: home.Week) -> None:
        pupil, rng = self.life.pupil, self.life.rng
        habit = home.habit_of(pupil, week.number)
        days = (week.last - week.starts).days
        if days < 0 or (habit.when == "lesson" and week.handed_in is None):
            return
        lesson_today = week.starts + 6 * A_DAY == self.year.today
        if rng.random() >= (max(0.7, habit.words) if lesson_today else habit.words):
            return
        text = self.voices.word(pupil, rng)
        if text is None:
            return
        day = week.starts + rng.randrange(max(0, days - 3), days + 1) * A_DAY
        self._write_word(plan, day, text, habit.source)

    def _latest_word(self) -> None:
        """The cast's own last word takes the place of one of the same week."""
        yesterday = self.year.today - A_DAY
        begun = [plan for plan in self.weeks.plans if plan.assignment.starts <= yesterday]
        if not self.life.pupil.word or not begun:
            return
        plan = begun[-1]
        self.weeks.words = [word for word in self.weeks.words if word.plan is not plan]
        running = plan.assignment.starts + A_WEEK > yesterday
        self._write_word(
            plan if running else None, yesterday, self.life.pupil.word, LogEntry.Source.HOME
        )

    def _write_word(self, plan: Plan | None, day: dt.date, text: str, source: str) -> None:
        written = self._at(day, dt.time(20, 15))
        self.weeks.words.append(
            Word(
                student=self.life.student,
                plan=plan,
                date=day,
                text=text,
                source=source,
                written=written,
            )
        )

    def _heard(self, lesson: Lesson, moment: Moment) -> None:
        """Marks and notes of a lesson."""
        rng, when = self.life.rng, self._after(lesson)
        if rng.random() < MARKED:
            marks = [
                Mark(lesson=lesson, aspect=aspect, heard=self._hearing(lesson, moment))
                for aspect in Mark.Aspect
            ]
            self.weeks.marks += marks
            if moment.scale is not None:
                bowed = all(mark.heard > Mark.Heard.NOT_YET for mark in marks)
                at = moment.scale
                self.weeks.scales_heard.append(
                    ScaleHeard(lesson=lesson, scale=at.scale, tempo=at.tempo, with_bowings=bowed)
                )
        for share, deck, on_sheet in (
            (NOTED, self.teacher.note, False),
            (NOTED_ON_SHEET, self.teacher.sheet_note, True),
        ):
            if rng.random() < share:
                self.weeks.notes.append(
                    LessonNote(lesson=lesson, text=deck.deal(), on_sheet=on_sheet, written=when)
                )

    def _hearing(self, lesson: Lesson, moment: Moment) -> Mark.Heard:
        """The longer in a key and the more practice, the steadier."""
        since = moment.scale.scale.since if moment.scale else lesson.date
        weeks = max(0, (lesson.date - since).days / 7)
        ripe = 0.6 * min(1.0, weeks / 5) + 0.4 * moment.effort + self.life.rng.gauss(0, 0.15)
        if ripe < 0.42:
            return Mark.Heard.NOT_YET
        return Mark.Heard.COMING if ripe < 0.78 else Mark.Heard.STEADY

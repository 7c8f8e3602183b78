"""Weekly slots into dated lessons: filled in, moved from a day on, ended."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field
from zoneinfo import ZoneInfo

from django.db.models import ProtectedError, Q
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from studio.access.models import Studio
from studio.dates.free import first_clash
from studio.dates.recurrence import Stretch, Weekly, change_from
from studio.dates.weeks import week_start
from studio.dates.zones import NoSuchTimeError
from studio.lessons.booking import Refused, changing, check_free, clash_sentence, taken_between
from studio.lessons.models import Lesson, LessonRules, Slot
from studio.people.models import Student
from studio.terms.models import Closure, Term
from studio.web.days import in_words, long_day
from studio.web.wall_clock import in_wall_time


@dataclass
class Filled:
    """What filling a term did: how many lessons were made, and which could not be and why."""

    made: int = 0
    left_out: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class SlotTime:
    """The part of a slot that can change: when, how long and where."""

    weekday: int
    starts: dt.time
    minutes: int
    place: str = ""
    link: str = ""
    every_weeks: int = 1


def fill(studio: Studio, terms: Iterable[Term], today: dt.date) -> Filled:
    """Make the lessons that slots ask for from today on and that are not there yet.

    May be called as often as one likes: a day that has had its lesson, whatever became of it,
    gets no second one. What clashes is left out and told.
    """
    with changing(studio):
        return _fill(studio, list(terms), today)


def _fill(studio: Studio, terms: list[Term], today: dt.date) -> Filled:
    if not terms:
        return Filled()
    closed = closures(studio)
    slots = list(Slot.objects.filter(studio=studio).prefetch_related("students"))
    had = set(
        Lesson.objects.filter(slot__in=slots, slot_day__isnull=False).values_list(
            "slot_id", "student_id", "slot_day"
        )
    )
    wanted = [
        lesson
        for term in terms
        for slot in slots
        for day in slot.weekly.days(max(term.starts, today), term.ends, closed)
        for lesson in _on(slot, day)
        if (slot.pk, lesson.student_id, day) not in had
    ]
    return _book(studio, sorted(wanted, key=lambda one: (one.date, one.starts)))


def _on(slot: Slot, day: dt.date) -> list[Lesson]:
    return [
        slot.lesson_on(day, student)
        for student in slot.students.all()
        if student.status == Student.Status.LEARNING or (student.left and day <= student.left)
    ]


def _book(studio: Studio, wanted: list[Lesson]) -> Filled:
    """Save those that fit and tell of the others."""
    done = Filled()
    if not wanted:
        return done
    zone, travel = ZoneInfo(studio.zone), LessonRules.of(studio).travel
    taken = taken_between(studio, wanted[0].date, wanted[-1].date)
    fitting = []
    for lesson in wanted:
        try:
            stretch = lesson.booked(zone)
        except NoSuchTimeError as reason:
            said = in_wall_time(str(reason), studio)
            # no words: a name before a sentence
            done.left_out.append(f"{lesson.student.given_name}: {said}")
            continue
        other = first_clash(stretch, taken, travel)
        if other is not None:
            done.left_out.append(clash_sentence(lesson, other, studio))
            continue
        taken.append(stretch)
        fitting.append(lesson)
    Lesson.objects.bulk_create(fitting)
    done.made = len(fitting)
    return done


def closures(studio: Studio) -> list[Stretch]:
    return list(Closure.objects.filter(studio=studio).values_list("starts", "ends"))


def add_slot(
    studio: Studio, students: list[Student], time: SlotTime, first_day: dt.date, today: dt.date
) -> tuple[Slot, Filled]:
    """A new weekly lesson from a day on; refused when no day of it lies in a term."""
    with changing(studio):
        slot = Slot.objects.create(studio=studio, first_day=first_day, **vars(time))
        slot.students.set(students)
        terms = coming_terms(studio, today)
        closed = closures(studio)
        if not any(slot.weekly.days(term.starts, term.ends, closed) for term in terms):
            words = _(
                "No {weekday} from {day} on lies in a term. Make the term first, or begin earlier."
            )
            raise Refused(words.format(weekday=slot.get_weekday_name(), day=long_day(first_day)))
        filled = _fill(studio, terms, today)
        if filled.left_out and not filled.made:
            words = _("{reason} It is the same in the weeks after.")
            raise Refused(words.format(reason=filled.left_out[0]))
        return slot, filled


def coming_terms(studio: Studio, today: dt.date) -> list[Term]:
    return list(Term.objects.of(studio).filter(ends__gte=today))


def change_slot(slot: Slot, time: SlotTime, from_day: dt.date, today: dt.date) -> Slot:
    """The same lesson at another time from a day on. Returns the slot that holds from then.

    The past stays. Lessons moved by hand, and those that fell out, stay as they are. The others
    keep their identity in calendars and move to the new time of their week. Refused as a whole
    when one of them would be double-booked.
    """
    if from_day < today:
        words = _("{day} has passed. A change can begin on {today} at the earliest.")
        raise Refused(words.format(day=long_day(from_day), today=in_words(today, "j F")))
    studio = slot.studio
    with changing(studio):
        slot = Slot.objects.select_for_update().get(pk=slot.pk)
        if slot.last_day is not None and slot.last_day < from_day:
            words = _("This weekly lesson ended on {day}.")
            raise Refused(words.format(day=in_words(slot.last_day, "j F")))
        wanted = Weekly(time.weekday, from_day, slot.last_day, time.every_weeks)
        try:
            new_weekly = change_from(slot.weekly, wanted, from_day)
        except ValueError as reason:
            raise Refused(str(reason)) from reason
        new = _successor(slot, time, new_weekly, from_day)
        _carry_over(slot, new, new_weekly, from_day)
        _fill(studio, coming_terms(studio, today), max(today, from_day))
        return new


def _successor(slot: Slot, time: SlotTime, weekly: Weekly, from_day: dt.date) -> Slot:
    """The slot from that day on; a slot that has not begun yet is changed in place."""
    students = list(slot.students.all())
    if from_day <= slot.first_day:
        for name, value in {**vars(time), "first_day": weekly.first_day}.items():
            setattr(slot, name, value)
        slot.save()
        return slot
    last_day = slot.last_day
    slot.last_day = from_day - dt.timedelta(days=1)
    slot.save()
    new = Slot.objects.create(
        studio=slot.studio, first_day=weekly.first_day, last_day=last_day, **vars(time)
    )
    new.students.set(students)
    return new


def _carry_over(old: Slot, new: Slot, weekly: Weekly, from_day: dt.date) -> None:
    """Bring the old slot's later lessons over to the new one, week by week."""
    later = list(
        Lesson.objects.filter(slot=old, slot_day__gte=from_day)
        .select_related("student__family__studio")
        .order_by("slot_day")
    )
    if not later:
        return
    closed = closures(new.studio)
    first = week_start(later[0].slot_day or from_day)
    last = week_start(later[-1].slot_day or from_day) + dt.timedelta(days=6)
    new_days = {week_start(day): day for day in weekly.days(first, last, closed)}
    moved, kept = [], []
    # Two steps, so that a lesson may take the day its neighbour is about to leave.
    Lesson.objects.filter(pk__in=[lesson.pk for lesson in later]).update(slot_day=None)
    for lesson in later:
        day = new_days.get(week_start(lesson.slot_day or from_day))
        keeps = lesson.moved_by_hand or lesson.status != Lesson.Status.PLANNED
        if day is None and not keeps:
            lesson.delete()
            continue
        lesson.slot, lesson.slot_day = new, day
        if not keeps and day is not None:
            lesson.date, lesson.starts, lesson.minutes = day, new.starts, new.minutes
            lesson.place, lesson.link = new.place, new.link
            lesson.sequence += 1
            moved.append(lesson)
        kept.append(lesson)
    check_free(new.studio, moved)
    for lesson in kept:
        lesson.save()


def end_slot(slot: Slot, last_day: dt.date, today: dt.date) -> int:
    """No lessons after that day. Returns how many planned ones were taken out."""
    if last_day < slot.first_day:
        words = _("It begins on {day}, after that day.")
        raise Refused(words.format(day=in_words(slot.first_day, "j F")))
    with changing(slot.studio):
        slot.last_day = last_day
        slot.save()
        gone = Lesson.objects.filter(
            slot=slot,
            status=Lesson.Status.PLANNED,
            makes_up=None,
            date__gt=max(last_day, today - dt.timedelta(days=1)),
            slot_day__gt=last_day,
        )
        count = gone.count()
        gone.delete()
        return count


def close(closure: Closure, today: dt.date) -> int:
    """Take planned lessons out of closed days from today on; those moved there by hand stay."""
    with changing(closure.studio):
        gone = (
            Lesson.objects.of(closure.studio)
            .within(max(closure.starts, today), closure.ends)
            .filter(status=Lesson.Status.PLANNED, moved_by_hand=False, makes_up=None)
            .exclude(slot=None)
        )
        count = gone.count()
        gone.delete()
        return count


def take_out_strays(studio: Studio, today: dt.date) -> int:
    """Planned lessons that a changed term no longer holds, from today on."""
    with changing(studio):
        coming = Lesson.objects.of(studio).filter(
            slot_day__gte=today, status=Lesson.Status.PLANNED, moved_by_hand=False
        )
        inside = Q(pk__in=[])
        for term in coming_terms(studio, today):
            inside |= Q(slot_day__gte=term.starts, slot_day__lte=term.ends)
        gone = coming.exclude(inside)
        count = gone.count()
        gone.delete()
        return count


def take_out_absent(studio: Studio, today: dt.date) -> int:
    """Free the times of students who have paused or left."""
    with changing(studio):
        gone = Lesson.objects.of_absent(studio, today)
        count = gone.count()
        Lesson.objects.filter(pk__in=list(gone.values_list("pk", flat=True))).delete()
        return count


def remove_term(term: Term) -> None:
    """Take out a term and its planned lessons; refused once anything has happened in it."""
    with changing(term.studio):
        lessons = Lesson.objects.of(term.studio).within(term.starts, term.ends)
        happened = lessons.exclude(status=Lesson.Status.PLANNED).count()
        if happened:
            words = ngettext(
                "{n} lesson of {term} took place or fell out, so the term stays.",
                "{n} lessons of {term} took place or fell out, so the term stays.",
                happened,
            )
            raise Refused(words.format(n=happened, term=term.name))
        lessons.filter(moved_by_hand=False).delete()
        try:
            term.delete()
        except ProtectedError as error:
            words = _("Something is written for {term}, so the term stays.")
            raise Refused(words.format(term=term.name)) from error

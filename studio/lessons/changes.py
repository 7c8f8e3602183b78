"""What can happen to a lesson after it is planned. Each is one transaction; times are handed in.

A calendar program is told of a change by a higher SEQUENCE (RFC 5546 section 2.1.4: date, time,
length and status), so whatever a feed shows differently afterwards goes through `told`.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from django.utils.translation import gettext as _

from studio.access.models import Studio
from studio.lessons.booking import Refused, again, changing, check_free, instant, together
from studio.lessons.models import Lesson, LessonRules
from studio.people.models import Student
from studio.terms.models import Term
from studio.web.days import in_words
from studio.web.wall_clock import wall_time

By = Literal["family", "teacher"]
LOST = (
    Lesson.Status.CANCELLED_BY_FAMILY,
    Lesson.Status.CANCELLED_BY_TEACHER,
    Lesson.Status.MISSED,
)


@dataclass(frozen=True)
class When:
    """A new date and wall time; None leaves length, place or link as they are."""

    day: dt.date
    starts: dt.time
    minutes: int | None = None
    place: str | None = None
    link: str | None = None


def studio_of(lesson: Lesson) -> Studio:
    return lesson.student.family.studio


def move(lesson: Lesson, to: When, *, with_siblings: bool = True) -> list[Lesson]:
    """Move a planned lesson, and with it those of siblings who share it."""
    with changing(studio_of(lesson)):
        lesson = again(lesson)
        _only_planned(
            lesson,
            _("The lesson of {day} is {status}; only a planned lesson can be moved."),
        )
        rows = together(lesson) if with_siblings else [lesson]
        for row in rows:
            _place(row, to)
            row.moved_by_hand = True
        check_free(studio_of(lesson), rows)
        return [told(row) for row in rows]


def _place(lesson: Lesson, to: When) -> None:
    lesson.date, lesson.starts = to.day, to.starts
    lesson.minutes = lesson.minutes if to.minutes is None else to.minutes
    lesson.place = lesson.place if to.place is None else to.place
    lesson.link = lesson.link if to.link is None else to.link


def swap(one: Lesson, other: Lesson) -> tuple[list[Lesson], list[Lesson]]:
    """Two families exchange their times; each keeps its own length and place."""
    with changing(studio_of(one)):
        one, other = again(one), again(other)
        for lesson in (one, other):
            _only_planned(
                lesson,
                _("The lesson of {day} is {status}; only a planned lesson can be swapped."),
            )
        if studio_of(one) != studio_of(other):
            raise Refused(_("These two lessons belong to two studios."))
        if one.student.family_id == other.student.family_id:
            raise Refused(_("Both lessons are of one family. Move one of them instead."))
        first, second = together(one), together(other)
        times = When(other.date, other.starts), When(one.date, one.starts)
        for rows, to in zip((first, second), times, strict=True):
            for row in rows:
                _place(row, to)
                row.moved_by_hand = True
        check_free(studio_of(one), [*first, *second])
        return [told(row) for row in first], [told(row) for row in second]


def cancel(lesson: Lesson, by: By, now: dt.datetime, *, with_siblings: bool = True) -> list[Lesson]:
    """Cancel a planned lesson. Whether a make-up is owed is decided now, by the rules of now."""
    studio = studio_of(lesson)
    with changing(studio):
        lesson = again(lesson)
        _only_planned(
            lesson,
            _("The lesson of {day} is {status}; only a planned lesson can be cancelled."),
        )
        rules = LessonRules.of(studio)
        rows = together(lesson) if with_siblings else [lesson]
        return [told(cancelled(row, by, now, rules)) for row in rows]


def cancelled(lesson: Lesson, by: By, now: dt.datetime, rules: LessonRules) -> Lesson:
    if by == "teacher":
        lesson.status = Lesson.Status.CANCELLED_BY_TEACHER
        lesson.with_notice = None
        lesson.make_up_owed, lesson.make_up_until = True, None
        return lesson
    begins = instant(studio_of(lesson), lesson.date, lesson.starts)
    lesson.status = Lesson.Status.CANCELLED_BY_FAMILY
    lesson.with_notice = begins - now >= dt.timedelta(hours=rules.notice_hours)
    lesson.make_up_owed = lesson.with_notice or rules.late_is_made_up
    lesson.make_up_until = expiry(lesson, rules) if lesson.make_up_owed else None
    return lesson


def miss(lesson: Lesson, today: dt.date) -> Lesson:
    """Nobody came and nobody said so."""
    studio = studio_of(lesson)
    with changing(studio):
        lesson = again(lesson)
        _not_before(
            lesson,
            today,
            _("The lesson of {day} is still to come; it cannot be missed."),
        )
        if lesson.status not in {Lesson.Status.PLANNED, Lesson.Status.KEPT}:
            words = _("This lesson is {status}; it cannot be missed.")
            raise Refused(words.format(status=lesson.get_status_display()))
        rules = LessonRules.of(studio)
        lesson.status = Lesson.Status.MISSED
        lesson.make_up_owed = rules.missed_is_made_up
        lesson.make_up_until = expiry(lesson, rules) if lesson.make_up_owed else None
        # It stays in calendars as it was: the time was held, so nothing there changes.
        lesson.save()
        return lesson


def keep(lesson: Lesson, today: dt.date) -> Lesson:
    """The lesson took place. Keeping it twice changes nothing."""
    with changing(studio_of(lesson)):
        lesson = again(lesson)
        _not_before(lesson, today, _("The lesson of {day} is still to come; it cannot be kept."))
        if lesson.status == Lesson.Status.MISSED:
            _without_make_up(lesson)
            lesson.make_up_owed, lesson.make_up_until = False, None
            lesson.status = Lesson.Status.KEPT
            check_free(studio_of(lesson), [lesson])
        elif lesson.status in LOST:
            words = _("This lesson is {status}. Plan it again before keeping it.")
            raise Refused(words.format(status=lesson.get_status_display()))
        lesson.status = Lesson.Status.KEPT
        lesson.save()
        return lesson


def plan_again(lesson: Lesson) -> Lesson:
    """Take back what was marked by mistake, while its time is still free."""
    with changing(studio_of(lesson)):
        lesson = again(lesson)
        if lesson.status == Lesson.Status.PLANNED:
            return lesson
        _without_make_up(lesson)
        was_cancelled = lesson.fell_out and lesson.status != Lesson.Status.MISSED
        lesson.status = Lesson.Status.PLANNED
        lesson.with_notice = None
        lesson.make_up_owed, lesson.make_up_until = False, None
        check_free(studio_of(lesson), [lesson])
        if was_cancelled:
            return told(lesson)
        lesson.save()
        return lesson


def make_up(lost: Lesson, to: When, today: dt.date) -> Lesson:
    """Place the lesson that makes up for a lost one, on or before the day the right ends."""
    studio = studio_of(lost)
    with changing(studio):
        lost = again(lost)
        if not lost.make_up_owed:
            words = _("No make-up lesson is owed for {day}.")
            raise Refused(words.format(day=_day(lost.date)))
        _without_make_up(lost)
        if lost.make_up_until is not None and max(to.day, today) > lost.make_up_until:
            words = _("The make-up for {day} had to be taken by {last}; {wanted} is later.")
            raise Refused(
                words.format(
                    day=_day(lost.date), last=_day(lost.make_up_until), wanted=_day(to.day)
                )
            )
        lesson = Lesson(
            student=lost.student,
            slot=lost.slot,
            date=to.day,
            starts=to.starts,
            minutes=lost.minutes,
            place=lost.place,
            link=lost.link,
            makes_up=lost,
            moved_by_hand=True,
        )
        _place(lesson, to)
        check_free(studio, [lesson])
        lesson.save()
        return lesson


def let_go(lost: Lesson) -> Lesson:
    """Teacher and family agree that no make-up is owed."""
    return _set_right(lost, owed=False)


def grant(lost: Lesson) -> Lesson:
    """The teacher owes a make-up although her rules do not ask for it, or no longer."""
    return _set_right(lost, owed=True)


def _set_right(lost: Lesson, *, owed: bool) -> Lesson:
    with changing(studio_of(lost)):
        lost = again(lost)
        if not lost.fell_out:
            words = _("The lesson of {day} did not fall out.")
            raise Refused(words.format(day=_day(lost.date)))
        _without_make_up(lost)
        lost.make_up_owed, lost.make_up_until = owed, None
        lost.save()
        return lost


def add_single(student: Student, to: When) -> Lesson:
    """One lesson more, outside the weekly times."""
    studio = student.family.studio
    with changing(studio):
        lesson = Lesson(student=student, date=to.day, starts=to.starts, moved_by_hand=True)
        _place(lesson, to)
        check_free(studio, [lesson])
        lesson.save()
        return lesson


def expiry(lost: Lesson, rules: LessonRules) -> dt.date | None:
    """The last day for a make-up of a lesson the family lost; None for no end."""
    if rules.expiry == LessonRules.Expiry.NEVER:
        return None
    if rules.expiry == LessonRules.Expiry.TERM:
        term = Term.objects.of(studio_of(lost)).on(lost.term_day)
        return None if term is None else term.ends
    return lost.date + dt.timedelta(weeks=rules.expiry_weeks)


def _only_planned(lesson: Lesson, words: str) -> None:
    """Refuse with the words, which have places for `day` and `status`."""
    if lesson.status != Lesson.Status.PLANNED:
        raise Refused(words.format(day=_day(lesson.date), status=lesson.get_status_display()))


def _not_before(lesson: Lesson, today: dt.date, words: str) -> None:
    """Refuse with the words, which have a place for `day`."""
    if lesson.date > today:
        raise Refused(words.format(day=_day(lesson.date)))


def _without_make_up(lost: Lesson) -> None:
    made = Lesson.objects.filter(makes_up=lost).first()
    if made is not None:
        words = _("The lesson of {day} has its make-up on {other} at {time}. Change that one.")
        raise Refused(
            words.format(
                day=_day(lost.date),
                other=_day(made.date),
                time=wall_time(made.starts, studio_of(lost)),
            )
        )


def told(lesson: Lesson) -> Lesson:
    lesson.sequence += 1
    lesson.save()
    return lesson


def _day(day: dt.date) -> str:
    return in_words(day, "j F")

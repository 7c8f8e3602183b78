"""Weekly times, and what became of every lesson, as rows that are not saved yet."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Final

from practice.example.cast import Event, Pupil, Teacher
from practice.example.rooms import Room
from practice.example.seasons import TEACHING_DAYS, Year
from studio.access.models import Studio
from studio.lessons.models import Lesson, Slot
from studio.people.models import Student

TAUGHT_BEFORE: Final = dt.time(10, 30)  # of today's lessons
MAKE_UP_WEEKS: Final = 8
MAKE_UP_DAYS: Final = "ECBDA"  # the emptier days first


@dataclass
class Timetable:
    """`of` has each student's lessons in order of time, make-ups among them."""

    slots: list[tuple[Slot, list[Student]]] = field(default_factory=list)
    lessons: list[Lesson] = field(default_factory=list)
    make_ups: list[Lesson] = field(default_factory=list)
    of: dict[str, list[Lesson]] = field(default_factory=dict)


def timetable(
    studio: Studio, year: Year, teacher: Teacher, pupils: Iterable[tuple[Pupil, Student]]
) -> Timetable:
    """Everything from the first term to the end of the present one; nobody is double-booked."""
    people = list(pupils)
    table, room = Timetable(), Room()
    slots: dict[frozenset[str], Slot] = {}
    waiting: list[tuple[Pupil, Lesson, int]] = []
    for pupil, student in people:
        together = frozenset(filter(None, (pupil.key, pupil.shared)))
        if together not in slots:
            slots[together] = _slot(studio, year, teacher, pupil)
            table.slots.append((slots[together], []))
        next(rows for slot, rows in table.slots if slot is slots[together]).append(student)
        table.of[pupil.key] = []
        for lesson in _regular(student, slots[together], year):
            make_up_week = _befall(lesson, pupil, year, teacher)
            table.lessons.append(lesson)
            table.of[pupil.key].append(lesson)
            if make_up_week is not None:
                waiting.append((pupil, lesson, make_up_week))
    for lesson in table.lessons:
        if not lesson.fell_out:
            room.take(lesson.date, lesson.starts, lesson.minutes)
    for pupil, lost, week in sorted(waiting, key=lambda each: (each[2], each[0].key)):
        made = _make_up(lost, week, year, room, year.day(teacher.ill.week, teacher.ill.day))
        if made is not None:
            table.make_ups.append(made)
            table.of[pupil.key].append(made)
    for rows in table.of.values():
        rows.sort(key=lambda lesson: (lesson.date, lesson.starts))
    return table


def _slot(studio: Studio, year: Year, teacher: Teacher, pupil: Pupil) -> Slot:
    week = max(year.first_week, -pupil.since)
    while pupil.every == 2 and week % 2 != pupil.turn:
        week += 1
    last_day = None
    if pupil.paused is not None:
        last_day = year.day(pupil.paused, pupil.day) - dt.timedelta(days=1)
    return Slot(
        studio=studio,
        weekday=year.weekday(pupil.day),
        every_weeks=pupil.every,
        starts=pupil.time,
        minutes=pupil.length,
        place="" if pupil.on_screen else teacher.place,
        link=teacher.screen if pupil.on_screen else "",
        first_day=year.day(week, pupil.day),
        last_day=last_day,
    )


def _regular(student: Student, slot: Slot, year: Year) -> list[Lesson]:
    closed = [closure.stretch for closure in year.closures]
    days = [day for term in year.terms for day in slot.weekly.days(term.starts, term.ends, closed)]
    lessons = [slot.lesson_on(day, student) for day in days]
    for lesson in lessons:
        lesson.status = _status(lesson.date, lesson.starts, year.today)
    return lessons


def _status(day: dt.date, starts: dt.time, today: dt.date) -> Lesson.Status:
    taught = day < today or (day == today and starts < TAUGHT_BEFORE)
    return Lesson.Status.KEPT if taught else Lesson.Status.PLANNED


def _befall(lesson: Lesson, pupil: Pupil, year: Year, teacher: Teacher) -> int | None:
    """Lets happen what is told of that week; returns the week of a make-up, if there is one."""
    week = year.week_of(lesson.date)
    ill = teacher.ill
    if lesson.date == year.day(ill.week, ill.day):
        _cancelled(lesson, by_teacher=True)
        return ill.made_up.get(pupil.key)
    for event in pupil.events:
        if event.week == week:
            _happens(lesson, event)
            return event.made_up
    return None


def _happens(lesson: Lesson, event: Event) -> None:
    if event.what == "missed":
        lesson.status = Lesson.Status.MISSED
    elif event.what == "moved" and event.to is not None:
        lesson.starts, lesson.moved_by_hand, lesson.sequence = event.to, True, 1
    else:
        _cancelled(lesson, by_teacher=event.what == "teacher", notice=event.notice)


def _cancelled(lesson: Lesson, by_teacher: bool, notice: bool | None = None) -> None:
    lesson.sequence = 1
    if by_teacher:
        lesson.status = Lesson.Status.CANCELLED_BY_TEACHER
        lesson.make_up_owed = True
        return
    lesson.status = Lesson.Status.CANCELLED_BY_FAMILY
    lesson.with_notice = notice
    if notice:
        lesson.make_up_owed = True
        lesson.make_up_until = lesson.date + dt.timedelta(weeks=MAKE_UP_WEEKS)


def _make_up(lost: Lesson, week: int, year: Year, room: Room, ill: dt.date) -> Lesson | None:
    """In the week it was promised for; a make-up of this week is today."""
    days = [year.day(week, letter) for letter in (MAKE_UP_DAYS if week else TEACHING_DAYS[:1])]
    open_days = [day for day in days if day > lost.date and day != ill and not _closed(day, year)]
    found = room.first_free(open_days, lost.minutes)
    if found is None:
        return None
    day, starts = found
    room.take(day, starts, lost.minutes)
    return Lesson(
        student=lost.student,
        slot=lost.slot,
        date=day,
        starts=starts,
        minutes=lost.minutes,
        place=lost.place,
        link=lost.link,
        makes_up=lost,
        moved_by_hand=True,
        status=_status(day, starts, year.today),
    )


def _closed(day: dt.date, year: Year) -> bool:
    return any(closure.starts <= day <= closure.ends for closure in year.closures)

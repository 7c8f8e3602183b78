"""From when on each invented student has had which size of violin."""

from __future__ import annotations

import datetime as dt

from studio.people.models import SizeHeld, Student

GROWING = ("1/16", "1/10", "1/8", "1/4", "1/2", "3/4", "4/4")
GROWN_UP = 16
LONG_HERE = dt.timedelta(days=330)


def sizes_of(student: Student, today: dt.date) -> list[SizeHeld]:
    """A child who has been here for most of a year came with the size before."""
    size, first = student.instrument_size, student.started
    here, age = today - first, student.age_on(today)
    before = GROWING.index(size) - 1 if size in GROWING else -1
    if age is None or age >= GROWN_UP or here < LONG_HERE or before < 0:
        return [SizeHeld(student=student, size=size, since=first)]
    changed = first + dt.timedelta(days=here.days * 3 // 5)
    return [
        SizeHeld(student=student, size=GROWING[before], since=first),
        SizeHeld(student=student, size=size, since=changed),
    ]

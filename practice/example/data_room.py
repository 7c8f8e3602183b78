"""What the page of data shows: a list once brought in, and the ledger of a family long gone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from studio.models import RosterImport, SetApart, Student, Studio

LESSONS = 9
BROUGHT = 4


def fill_data_room(studio: Studio, today: dt.date, students: Sequence[Student]) -> None:
    began = today - dt.timedelta(days=400)
    lines = [
        {
            "student": 1,
            "date": (began + dt.timedelta(weeks=week)).isoformat(),
            "starts": "16:30",
            "minutes": 30,
            "status": "cancelled-family" if week == 5 else "kept",
        }
        for week in range(LESSONS)
    ]
    SetApart.objects.create(
        studio=studio,
        label="Family 1",
        erased=began + dt.timedelta(weeks=LESSONS + 2),
        lines=lines,
    )
    made = RosterImport.objects.create(
        studio=studio,
        name="waiting list.csv",
        made=dt.datetime.combine(min(s.started for s in students), dt.time(9), dt.UTC),
    )
    made.students.set(students[:BROUGHT])

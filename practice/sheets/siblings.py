"""Children of one family who share a violin or an hour: weeks whose sessions never overlap."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from practice.planning.starts import SharedTime, apart
from practice.planning.types import DayPlan, WeekPlan
from practice.plans.generate import built
from practice.plans.models import Assignment, Sheet
from practice.plans.weeks import DAYS
from studio.access.models import Studio
from studio.language.days import weekday
from studio.language.lists import listed
from studio.people.models import Student
from studio.web.wall_clock import wall_time

Starts = tuple[str, ...]


@dataclass(frozen=True)
class Decided:
    """A brother's or sister's decided days, and what their printed sheets say of starts."""

    student: Student
    days: dict[dt.date, DayPlan]
    printed: dict[dt.date, Starts]


def beside_siblings(student: Student, plan: WeekPlan) -> WeekPlan:
    """The same week beside the decided weeks of brothers and sisters, where they share.

    Who wishes for the same time takes turns by the date, so a week decided later can move one
    that is printed already: that is named in `unmet`. No query where nothing is shared, else three.
    """
    family = student.family
    if not family.shares_violin or not plan.days:
        return plan
    siblings = _decided(student, [day.date for day in plan.days])
    # Always all of them, in one order: so the turns come out the same on each child's Bench.
    weeks = [
        (each.student.given_name, plan if each.student.pk == student.pk else _week(each, plan))
        for each in siblings
    ]
    placed = apart(weeks, SharedTime(family.shared_from, family.shared_until))
    said: list[str] = []
    own = plan
    for sibling, week in zip(siblings, placed, strict=True):
        if sibling.student.pk == student.pk:
            own = week
        else:
            said += [*week.unmet, *_printed_otherwise(sibling, week, family.studio)]
    return replace(own, unmet=own.unmet + tuple(said))


def _week(sibling: Decided, plan: WeekPlan) -> WeekPlan:
    return WeekPlan(plan.version, tuple(sibling.days[date] for date in sorted(sibling.days)))


def _decided(student: Student, dates: list[dt.date]) -> list[Decided]:
    """Of all learning children of the family, this student among them with no days."""
    children = list(student.family.students.learning().order_by("pk"))
    if student.pk not in {each.pk for each in children}:
        children.append(student)
    others = [each.pk for each in children if each.pk != student.pk]
    first = dates[0] - dt.timedelta(days=DAYS - 1)
    assignments = Assignment.objects.filter(
        student__in=others, plan__isnull=False, starts__range=(first, dates[-1])
    ).select_related("plan")
    rows = list(assignments.order_by("starts"))
    sheets = _latest_sheets([row.plan.pk for row in rows]) if rows else {}
    found = {each.pk: Decided(each, {}, {}) for each in children}
    for row in rows:
        sibling = found[row.student_id]
        printed = sheets.get(row.plan.pk)
        for place, day in enumerate(built(row.plan).days):
            if day.date in dates:
                sibling.days[day.date] = day
                sibling.printed.pop(day.date, None)
                if printed is not None:
                    sibling.printed[day.date] = _starts_on(printed, place)
    return list(found.values())


def _latest_sheets(plans: list[int]) -> dict[int, Sheet]:
    return {
        sheet.plan_id: sheet
        for sheet in Sheet.objects.filter(plan__in=plans).order_by("plan", "edition")
    }


def _starts_on(sheet: Sheet, place: int) -> Starts:
    """What the sheet says of the starts of one day, session by session; "" where it says none."""
    said = [session.get("starts") or [] for session in sheet.data.get("sessions", [])]
    return tuple(starts[place] for starts in said if place < len(starts) and starts[place])


def _printed_otherwise(sibling: Decided, week: WeekPlan, studio: Studio) -> list[str]:
    """Days on which the sibling's paper names another start than the one now planned."""
    moved = defaultdict(list)
    for day in week.days:
        planned = tuple(wall_time(s.start, studio) for s in day.sessions if s.start is not None)
        if sibling.printed.get(day.date, planned) != planned:
            moved[sibling.student.given_name].append(weekday(day.date))
    said = _("{name}'s printed sheet has other times on {days}: print it again.")
    return [said.format(name=name, days=listed(days)) for name, days in moved.items()]

"""The seven days of a week in hand, planned and done."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from django.db.models import Q, Sum
from django.db.models.functions import Coalesce

from practice.plans.models import Assignment, Item
from practice.plans.weeks import days_from


@dataclass(frozen=True)
class WeekDay:
    date: dt.date
    planned: int
    logged: int
    today: bool
    to_come: bool


@dataclass(frozen=True)
class HomeWeek:
    days: tuple[WeekDay, ...]
    today: dt.date

    @property
    def planned(self) -> int:
        return sum(day.planned for day in self.days)

    @property
    def logged(self) -> int:
        return sum(day.logged for day in self.days)

    def day(self, wanted: dt.date | None) -> dt.date:
        """The day asked for if it is in the week, else today, else the week's last day."""
        dates = [day.date for day in self.days]
        if wanted in dates:
            return wanted
        if self.today in dates:
            return self.today
        return dates[-1] if self.today > dates[-1] else dates[0]


def home_week(assignment: Assignment, today: dt.date) -> HomeWeek:
    """One query."""
    sums = {
        row["date"]: (row["planned"], row["logged"])
        for row in Item.objects.filter(plan__assignment=assignment)
        .values("date")
        .annotate(
            planned=Sum("minutes"),
            logged=Coalesce(Sum("log__minutes", filter=Q(log__done=True)), 0),
        )
        .order_by()
    }
    return HomeWeek(
        tuple(
            WeekDay(date, *sums.get(date, (0, 0)), today=date == today, to_come=date > today)
            for date in days_from(assignment.starts)
        ),
        today,
    )

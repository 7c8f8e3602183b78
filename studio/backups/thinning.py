"""Which backups stay: closely spaced near today, wider apart further back. Plain values only.

All of two days, one a day for two weeks, one a week for three months, one a month for two years;
of each day, week or month the last one. A week belongs to the month of its Monday, so thinning
every day ends where thinning once would. The latest seven days that have one keep it whatever day
it is now: for a clock that is years ahead, last week is long ago.
"""

from collections.abc import Collection, Hashable, Sequence
from datetime import date, datetime, timedelta

LATEST_DAYS = 7
ALL_DAYS, DAILY_DAYS, WEEKLY_DAYS, MONTHLY_DAYS = 2, 14, 92, 731
# Less than a day, so that a teacher who opens the studio a little earlier still gets one.
DUE_AFTER = timedelta(hours=20)


def kept(moments: Collection[datetime], today: date) -> set[datetime]:
    """The moments of `moments` whose backups stay on `today`."""
    last: dict[Hashable, datetime] = {}
    for moment in sorted(moments):
        place = _place(moment, today)
        if place is not None:
            last[place] = moment
    return set(last.values()) | _latest_days(moments, today)


def _latest_days(moments: Collection[datetime], today: date) -> set[datetime]:
    """The last moments of the latest days; days to come, by a wrong clock, take nobody's place."""
    last = {moment.date(): moment for moment in sorted(moments)}
    been = [day for day in sorted(last) if day <= today]
    return {last[day] for day in been[-LATEST_DAYS:]}


def _place(moment: datetime, today: date) -> Hashable | None:
    """What a backup stands for; two of the same place are one too many. None: too old."""
    day = moment.date()
    monday = day - timedelta(days=day.weekday())
    age = (today - day).days
    if age <= ALL_DAYS:
        return moment  # also what a clock set back makes a day to come
    if age <= DAILY_DAYS:
        return ("day", day)
    if (today - monday).days <= WEEKLY_DAYS:
        return ("week", monday)
    if age <= MONTHLY_DAYS:
        return ("month", monday.year, monday.month)
    return None


def is_due(moments: Collection[datetime], now: datetime) -> bool:
    """Whether none was made of late; one from a day to come, by a wrong clock, counts for none."""
    return not any(timedelta(0) <= now - moment < DUE_AFTER for moment in moments)


def fitting(sizes: Sequence[int], most: int) -> int:
    """How many of `sizes`, newest first, stay within `most` together; the newest always stays."""
    total = 0
    for count, size in enumerate(sizes):
        total += size
        if total > most and count:
            return count
    return len(sizes)

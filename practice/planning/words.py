"""Days, bars and minutes in the sentences the builder writes."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Hashable

from studio.language import gettext as _
from studio.language import ngettext, pgettext
from studio.language.days import weekday

BARS = re.compile(r"(?:bars? )?(\d+(–\d+)?)")


class Told(str):
    """A sentence that knows its days, and what it says but for days and figures.

    Sentences that are `alike` can be told as one, in whatever language they are.
    """

    days: tuple[dt.date, ...]
    alike: Hashable


def told(text: str, alike: Hashable, *days: dt.date) -> Told:
    said = Told(text)
    said.alike, said.days = alike, days
    return said


def of_day(pattern: str, date: dt.date, about: str = "", **values: object) -> Told:
    """The pattern with `{day}`, `{about}` (a title, a part) and figures in its places."""
    text = pattern.format(day=weekday(date), about=about, **values)
    return told(text, (pattern, about), date)


def minutes_of(count: int) -> str:
    return ngettext("{n} minute", "{n} minutes", count).format(n=count)


def in_bars(bars: str) -> str:
    """ "bar 7" of "7", "bars 7–8" of "7–8"; any other name of a spot as it stands."""
    found = BARS.fullmatch(bars)
    if found is None:
        return bars
    return (_("bars {bars}") if found[2] else _("bar {bars}")).format(bars=found[1])


def spot_in(bars: str) -> str:
    """ "The spot in bar 7"."""
    return _("The spot in {bars}").format(bars=in_bars(bars))


def sentence_case(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}"


def thousands(number: int) -> str:
    """ "1,440"."""
    return f"{number:,}".replace(",", pgettext("between thousands of a number", ","))

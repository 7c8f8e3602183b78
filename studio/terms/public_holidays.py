"""Public holidays by country, offered and never taken without a tick."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from functools import cache

import holidays
from django.utils.translation import get_language
from holidays.registry import COUNTRIES

from studio.terms.country_names import NAMES
from studio.web.search import folded

Choice = tuple[str, str]


def countries() -> list[Choice]:
    """Two-letter code and name, by name."""
    known = {codes[1] for codes in COUNTRIES.values()}
    found = [(code, str(name)) for code, name in NAMES.items() if code in known]
    return sorted(found, key=lambda choice: folded(choice[1]))


@cache
def regions(country: str) -> list[str]:
    """Codes of the country's parts that have days of their own; none for an unknown country."""
    if country not in NAMES:
        return []
    return list(holidays.list_supported_countries().get(country, []))


def between(
    country: str, region: str, stretches: Iterable[tuple[dt.date, dt.date]]
) -> list[tuple[dt.date, str]]:
    """Public holidays inside the stretches, in order. Empty for an unknown country."""
    spans = list(stretches)
    if country not in NAMES or not spans:
        return []
    years = range(min(first.year for first, _ in spans), max(last.year for _, last in spans) + 1)
    subdivision = region if region in regions(country) else None
    known = holidays.country_holidays(
        country, subdiv=subdivision, years=years, language=_spoken(country)
    )
    return sorted(
        (day, name)
        for day, name in known.items()
        if any(first <= day <= last for first, last in spans)
    )


def _spoken(country: str) -> str | None:
    """The language spoken now where the list has it, else the country's own; None: it has one.

    Left to itself the library takes that of the computer the program runs on.
    """
    known = holidays.list_localized_countries().get(country, [])
    own: str | None = getattr(holidays, country).default_language
    now = get_language() or ""
    ours = [code for code in (own, f"{now}_US", *known) if code in known and code[:2] == now[:2]]
    return ours[0] if ours else own

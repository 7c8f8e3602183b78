"""Public holidays by country, offered and never taken without a tick."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from functools import cache

import holidays
from holidays.registry import COUNTRIES

Choice = tuple[str, str]


@cache
def countries() -> list[Choice]:
    """Two-letter code and plain name, by name. The library spells names as class names."""
    found = [(codes[1], _words(module)) for module, codes in COUNTRIES.items()]
    return sorted(found, key=lambda choice: choice[1])


def _words(module: str) -> str:
    small = {"and", "of", "the"}
    words = module.split("_")
    return " ".join(word if word in small else word.capitalize() for word in words)


@cache
def regions(country: str) -> list[str]:
    """Codes of the country's parts that have days of their own; none for an unknown country."""
    if country not in dict(countries()):
        return []
    return list(holidays.list_supported_countries().get(country, []))


def between(
    country: str, region: str, stretches: Iterable[tuple[dt.date, dt.date]]
) -> list[tuple[dt.date, str]]:
    """Public holidays inside the stretches, in order. Empty for an unknown country."""
    spans = list(stretches)
    if country not in dict(countries()) or not spans:
        return []
    years = range(min(first.year for first, _ in spans), max(last.year for _, last in spans) + 1)
    subdivision = region if region in regions(country) else None
    known = holidays.country_holidays(country, subdiv=subdivision, years=years)
    return sorted(
        (day, name)
        for day, name in known.items()
        if any(first <= day <= last for first, last in spans)
    )

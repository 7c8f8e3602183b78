"""Days in German: their order, their full stops, and a place in the catalog for each pattern."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from django.utils import translation

from studio.web.days import PATTERNS, in_words
from tests.test_rules import BASE

USED = re.compile(r"""\|day:["']([^"']+)["']|in_words\([^"\n]*"([A-Za-z ]+)"\)""")
SHORT = [
    "Jan.",
    "Feb.",
    "März",
    "April",
    "Mai",
    "Juni",
    "Juli",
    "Aug.",
    "Sept.",
    "Okt.",
    "Nov.",
    "Dez.",
]
MONDAY = dt.date(2026, 10, 5)


# Short names of months as DIN 5008 and Duden have them (from memory): four letters stay whole.
@pytest.mark.parametrize(("month", "short"), list(enumerate(SHORT, 1)))
def test_short_months_have_a_full_stop_where_letters_are_missing(month: int, short: str) -> None:
    with translation.override("de"):
        assert in_words(dt.date(2026, month, 5), "j M Y") == f"5. {short} 2026"
        assert in_words(dt.date(2026, month, 5), "M Y") == f"{short} 2026"


def test_a_weekday_stands_before_a_comma() -> None:
    with translation.override("de"):
        assert in_words(MONDAY, "D j M") == "Mo, 5. Okt."
        assert in_words(MONDAY, "l j F Y") == "Montag, 5. Oktober 2026"
    with translation.override("en"):
        assert in_words(MONDAY, "D j M") == "Mon 5 Oct"


def test_every_pattern_in_use_can_be_put_in_order() -> None:
    with translation.override("en"):
        known = {str(pattern) for pattern in PATTERNS}
    files = [*BASE.glob("templates/**/*.html"), *BASE.glob("[ps]*/**/*.py")]
    used = {one or other for file in files for one, other in USED.findall(file.read_text())}
    assert len(used) > 8
    assert used - known == set()

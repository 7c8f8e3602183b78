"""First answers for a new studio, each of which the teacher sees and can change."""

from pathlib import Path
from typing import Any

from django.utils.translation import get_language

from studio.access.models import Studio, zone_names

# Where US Letter is the usual paper and the clock has twelve hours; common practice, no source.
LETTER_REGIONS = frozenset({"US", "CA", "MX", "PH", "CL", "CO"})
TWELVE_HOUR_REGIONS = frozenset({"US", "CA", "AU", "NZ", "IN", "PH"})
SUNDAY_REGIONS = frozenset({"US", "CA", "MX", "PH", "IN", "IL", "JP", "BR", "ZA"})


def from_language(accept_language: str) -> dict[str, Any]:
    """Language as the page has it; paper, clock and week by the first region in the header."""
    first = accept_language.split(",")[0].split(";")[0].strip()
    region = first.partition("-")[2].upper()
    return {
        "locale": get_language(),
        "paper": Studio.Paper.LETTER if region in LETTER_REGIONS else Studio.Paper.A4,
        "clock_24h": "no" if region in TWELVE_HOUR_REGIONS else "yes",
        "week_start": (
            Studio.Weekday.SUNDAY if region in SUNDAY_REGIONS else Studio.Weekday.MONDAY
        ),
    }


def zone_of_this_computer(localtime: Path = Path("/etc/localtime")) -> str:
    """The computer's zone, which is the teacher's at home; empty when it cannot be told."""
    name = localtime.resolve().as_posix().partition("/zoneinfo/")[2]
    return name if name in zone_names() and name[:4] != "Etc/" and "/" in name else ""

"""The language, the zone and the names of notes of one studio, for as long as it is spoken to."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Protocol
from zoneinfo import ZoneInfo

from django.utils import timezone, translation

from studio.language import naming


class Speaks(Protocol):
    """A Studio, or whatever was frozen with its choices."""

    @property
    def locale(self) -> str: ...
    @property
    def note_names(self) -> str: ...
    @property
    def zone(self) -> str: ...


@contextmanager
def speaking(studio: Speaks) -> Iterator[None]:
    """Sentences, dates and names of notes within are those of the studio."""
    with (
        timezone.override(ZoneInfo(studio.zone)),
        translation.override(studio.locale),
        naming(studio.note_names),
    ):
        yield

"""A file becomes a score; bars of a score become a spot."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import PurePath

from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from practice.engraving.pages import draw_page
from practice.engraving.reading import read_score
from practice.engraving.safe_xml import MOST_BYTES
from practice.music.abc_text import line_to_abc
from practice.music.errors import MusicError, OutOfRange
from practice.music.excerpt import borrowed_bowing
from practice.music.line import Line
from practice.music.score import Score as Music
from practice.music.score import excerpt_at, label
from practice.repertoire.models import Spot, Work
from practice.scores.models import Score
from practice.sheets.bowed import bowing_name
from studio import clock
from studio.access.models import Studio
from studio.language.numbers import number

MOST_CHARACTERS = Spot._meta.get_field("excerpt").max_length or 0
LONGEST_NAME = 120


def take_file(studio: Studio, work: Work, upload: UploadedFile) -> Score:
    """The score as a new row, not yet saved. Raises MusicError with a sentence.

    The file is read, laid out and its first page drawn here, so that what is kept can be shown.
    """
    name = PurePath(" ".join((upload.name or "score").split())).name[-LONGEST_NAME:]
    data = upload.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        size = (upload.size or 0) / 1024 / 1024
        sentence = _("“{name}” has {size} MB; scores up to 5 MB are read.")
        raise OutOfRange(sentence.format(name=name, size=number(size, ".1f")))
    music = read_score(data, name)
    draw_page(music, 1)
    return Score(
        studio=studio,
        work=work,
        name=name,
        data=data,
        digest=hashlib.sha256(data).hexdigest(),
        bars=len(music.bars),
        added=clock.now(),
    )


@dataclass(frozen=True)
class Taken:
    """Neighbouring bars of a score, ready for a spot. `abc` is what a spot keeps."""

    indexes: tuple[int, ...]
    words: str
    first_bar: int
    last_bar: int
    line: Line
    abc: str
    bowing: str
    filled: int


def take_bars(music: Music, places: Sequence[int]) -> Taken:
    """From the first tapped bar to the last, by place from 0. Raises MusicError."""
    if not places or min(places) < 0 or max(places) >= len(music.bars):
        raise OutOfRange(_("These bars are not in the score."))
    indexes = tuple(range(min(places), max(places) + 1))
    line = excerpt_at(music, indexes)
    for index, bar in zip(indexes, line.bars, strict=True):
        if line.metre and bar.quarters > line.metre.bar:
            sentence = _("It cannot be taken: {bar} is longer than {metre} in the file.")
            raise MusicError(sentence.format(bar=label(music, index), metre=line.metre))
    abc = line_to_abc(line)
    if len(abc) > MOST_CHARACTERS:
        sentence = ngettext(
            "{n} bar is too many for one spot. Tap fewer.",
            "{n} bars are too many for one spot. Tap fewer.",
            len(indexes),
        )
        raise OutOfRange(sentence.format(n=len(indexes)))
    first, last = _numbers(music, indexes)
    return Taken(
        indexes=indexes,
        words=words_for(music, indexes),
        first_bar=first,
        last_bar=last,
        line=line,
        abc=abc,
        bowing=_bowing(line),
        filled=len(indexes) - len(set(places)),
    )


def words_for(music: Music, indexes: Sequence[int]) -> str:
    """ "bar 3", "bars 3 to 5", "the pickup to bar 2"."""
    first, last = label(music, indexes[0]), label(music, indexes[-1])
    if first == last:
        return first
    numbers = [music.bars[indexes[i]].number for i in (0, -1)]
    if all(numbers):
        return _("bars {first} to {last}").format(first=numbers[0], last=numbers[1])
    return _("{first} to {last}").format(first=first, last=last)


def _numbers(music: Music, indexes: Sequence[int]) -> tuple[int, int]:
    """Printed numbers as figures; a pickup counts to the bar it leads into."""
    found = [number for i in indexes if (number := _figure(music.bars[i].number))]
    if not found:
        after = (_figure(bar.number) for bar in music.bars[indexes[-1] + 1 :])
        before = (_figure(bar.number) for bar in reversed(music.bars[: indexes[0]]))
        found = [next((n for each in (after, before) for n in each if n), 1)]
    return min(found), max(found)


def _figure(number: str) -> int:
    digits = re.match(r"\d{1,4}", number)
    return int(digits[0]) if digits else 0


def _bowing(line: Line) -> str:
    """The name of the bowing that a scale can borrow; "" where there is none."""
    try:
        return bowing_name(borrowed_bowing(line))
    except MusicError:
        return ""

"""The bowings a student can be on: of the list, borrowed from a spot, or the teacher's own.

A variation is named after what it is made of: "slur4+doubled", "spot:12+long-short".
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import groupby

from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from practice.music.abc_bar import read_abc
from practice.music.bowing_list import BOWINGS
from practice.music.bowings import Pattern, pattern_from_json
from practice.music.errors import MusicError
from practice.music.excerpt import borrowed_bowing
from practice.music.fit import DOUBLED, variations
from practice.music.rhythm import Value
from practice.plans.hand import Hand
from practice.repertoire.models import Bowing, Spot
from studio.language.cached import cached_as_spoken
from studio.people.models import Student

BY_SLUG: Mapping[str, Pattern] = {pattern.slug: pattern for pattern in BOWINGS}
STROKES_NAMED = 4
LONG, SHORT = "long", "short"


@dataclass(frozen=True)
class Bowed:
    """A bowing that has a name; piece and bars are there when it is borrowed."""

    pattern: Pattern
    piece: str = ""
    bars: str = ""
    own: bool = False
    varied: str = ""

    @property
    def source(self) -> str:
        """For the student, on the sheet."""
        if not self.piece:
            return ""
        several = len(re.findall(r"\d+", self.bars)) > 1
        if self.varied:
            several_varied = _("They are {bars} of your {piece}, {varied}.")
            said = several_varied if several else _("It is {bars} of your {piece}, {varied}.")
        else:
            they = _("They are {bars} of your {piece}.")
            said = they if several else _("It is {bars} of your {piece}.")
        return said.format(bars=self.bars, piece=self.piece, varied=self.varied)


def base_of(bowing: str) -> str:
    """ "slur4" of "slur4+doubled"."""
    return bowing.partition("+")[0]


def varied(bowing: str, bowed: Bowed) -> dict[str, Bowed]:
    """Its variations, by id."""
    words = {DOUBLED: _("twice as fast")}
    return {
        f"{bowing}+{name}": replace(
            bowed, pattern=pattern, varied=words.get(name, _("in a new rhythm"))
        )
        for name, pattern in variations(bowed.pattern).items()
    }


def bowings_of(student: Student, hand: Hand) -> dict[str, Bowed]:
    """All by the id a scale keeps: "slur4", "spot:12", "own:3", and those variations that are on
    the scale. One or two queries."""
    found = {slug: Bowed(pattern) for slug, pattern in BY_SLUG.items()}
    found |= (
        own_bowings(student.family.studio_id) | _borrowed(hand) | _borrowed_before(student, hand)
    )
    return found | _varied_on(hand.scale.bowings if hand.scale else (), found)


def own_bowings(studio: int) -> dict[str, Bowed]:
    """The teacher's, by id ("own:3"). One query."""
    return {
        f"own:{row.pk}": Bowed(pattern_from_json({**row.pattern, "name": row.name}), own=True)
        for row in Bowing.objects.filter(studio=studio)
    }


def listed(ids: Collection[str]) -> dict[str, Bowed]:
    """Those of the list by id, and such variations of them as are among the ids. No query."""
    found = {slug: Bowed(pattern) for slug, pattern in BY_SLUG.items()}
    return found | _varied_on(ids, found)


def _varied_on(ids: Collection[str], found: Mapping[str, Bowed]) -> dict[str, Bowed]:
    made: dict[str, Bowed] = {}
    for each in ids:
        base = base_of(each)
        if each != base and base in found:
            made |= {key: bowed for key, bowed in varied(base, found[base]).items() if key in ids}
    return made


def chosen_bowings(student: Student, hand: Hand) -> tuple[Bowed, ...]:
    """Those of the scale in hand, in the teacher's order; what is lost is left out."""
    ids = hand.scale.bowings if hand.scale else ()
    if all(base_of(each) in BY_SLUG for each in ids):
        known = listed(ids)
    else:
        known = bowings_of(student, hand)
    return tuple(known[each] for each in ids if each in known)


@cached_as_spoken(maxsize=512)
def borrowed_pattern(excerpt: str) -> Pattern | None:
    """The bowing of bars in ABC; None where there are none or they cannot be read."""
    if not excerpt:
        return None
    try:
        pattern = borrowed_bowing(read_abc(excerpt))
    except MusicError:
        return None
    return replace(pattern, called=bowing_name(pattern))


def bowing_name(pattern: Pattern) -> str:
    """That of the same bowing in the list, or its strokes: "long, two, two"."""
    for known in BOWINGS:
        if strokes(known) == strokes(pattern):
            return known.name
    sounding = [value for value in pattern.values if not value.rest]
    found, done = list[int | str](), 0
    for count in pattern.slurs:
        found.append(_stroke(sounding[done : done + count], sounding))
        done += count
    if set(found) == {LONG}:
        return BY_SLUG["detache"].name
    named = list(_counted(found))
    return ", ".join(named[:STROKES_NAMED]) + ("…" if len(named) > STROKES_NAMED else "")


def strokes(pattern: Pattern) -> tuple[object, ...]:
    """What is bowed, the same in every metre."""
    return pattern.values, pattern.slurs, pattern.articulation


def _counted(found: list[int | str]) -> Iterator[str]:
    """Three and more of the same single stroke in a row are counted: "four short"."""
    alone = {LONG: pgettext("a bow stroke", "long"), SHORT: pgettext("a bow stroke", "short")}
    many = {
        LONG: pgettext("bow strokes", "{count} long"),
        SHORT: pgettext("bow strokes", "{count} short"),
    }
    for stroke, same in groupby(found):
        count = len(list(same))
        if isinstance(stroke, int):
            yield from [_count(stroke)] * count
        elif count > 2:
            yield many[stroke].format(count=_count(count))
        else:
            yield from [alone[stroke]] * count


def _count(number: int) -> str:
    """Notes in a bow, or strokes, in a word."""
    words = {
        2: pgettext("notes in a bow", "two"),
        3: pgettext("notes in a bow", "three"),
        4: pgettext("notes in a bow", "four"),
        5: pgettext("notes in a bow", "five"),
        6: pgettext("notes in a bow", "six"),
        7: pgettext("notes in a bow", "seven"),
        8: pgettext("notes in a bow", "eight"),
    }
    return words.get(number, str(number))


def _stroke(values: list[Value], all_values: list[Value]) -> int | str:
    """How many notes are slurred in a stroke; LONG or SHORT where it has only one."""
    if len(values) > 1:
        return len(values)
    longest = max(value.quarters for value in all_values)
    return LONG if values[0].quarters == longest else SHORT


def _borrowed(hand: Hand) -> dict[str, Bowed]:
    """From the spots in hand, hardest first."""
    spots = [(spot, piece) for piece in hand.pieces for spot in piece.spots]
    found = {}
    for spot, piece in sorted(spots, key=lambda each: each[0].hardness):
        pattern = borrowed_pattern(spot.excerpt)
        if pattern is not None:
            found[f"spot:{spot.id}"] = Bowed(pattern, piece.title, spot.label)
    return found


def _borrowed_before(student: Student, hand: Hand) -> dict[str, Bowed]:
    """Bowings still on the scale whose spot is solved, or whose piece left the hand."""
    ids = hand.scale.bowings if hand.scale else ()
    bases = [base_of(each) for each in ids]
    numbers = [int(each[5:]) for each in bases if each.startswith("spot:") and each[5:].isdecimal()]
    gone = [pk for pk in numbers if hand.spot(pk) is None]
    if not gone:
        return {}
    rows = Spot.objects.filter(pk__in=gone, piece__student=student).select_related("piece__work")
    found = {}
    for row in rows:
        pattern = borrowed_pattern(row.excerpt)
        if pattern is not None:
            found[f"spot:{row.pk}"] = Bowed(pattern, row.piece.work.short_title, row.label)
    return found

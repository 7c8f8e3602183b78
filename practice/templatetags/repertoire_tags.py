"""What a page about people shows of their repertoire."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django import template

from practice.engraving.engrave import SPOT, EngravingFailed
from practice.engraving.pictures import Picture, picture
from practice.engraving.spec import Spec
from practice.music.errors import MusicError
from practice.repertoire.in_hand import InHand, in_hand_of
from studio.people.models import Student

register = template.Library()


@register.simple_tag
def with_in_hand(students: Iterable[Student]) -> list[tuple[Student, InHand]]:
    """`{% with_in_hand students as rows %}`: each student with what is in hand."""
    students = list(students)
    hands = in_hand_of(students)
    return [(student, hands[student.pk]) for student in students]


@dataclass(frozen=True, slots=True)
class Bars:
    """Typed bars: their picture, or the sentence that says why there is none."""

    picture: Picture | None
    trouble: str = ""


@register.simple_tag
def engraved_bars(abc: str) -> Bars:
    try:
        return Bars(picture(Spec("excerpt", abc=abc), SPOT))
    except (MusicError, EngravingFailed) as error:
        return Bars(None, str(error))


@register.inclusion_tag("repertoire/of_student.html")
def repertoire_of(student: Student) -> dict[str, Any]:
    """The panel on a student's own page: in hand now, and what was before."""
    return {
        "student": student,
        "hand": in_hand_of([student])[student.pk],
        "learned": student.pieces.learned().select_related("work").order_by("-finished", "-pk"),
        "scales": student.scales.exclude(until=None),
        "etudes": student.etudes.exclude(until=None).select_related("work"),
        "favourites": student.favourites.filter(retired=None).select_related("work"),
    }

"""What a page about people shows of their repertoire."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import template

from practice.engraving.pictures import Picture
from practice.music.errors import MusicError
from practice.repertoire.catalogue_words import told_technique
from practice.repertoire.excerpts import picture_of
from practice.repertoire.in_hand import InHand, in_hand_of
from practice.repertoire.page import LATELY
from studio.people.models import Student

register = template.Library()
register.filter("technique", told_technique)


@register.simple_tag
def with_in_hand(students: Iterable[Student]) -> list[tuple[Student, InHand]]:
    """`{% with_in_hand students as rows %}`: each student with what is in hand."""
    students = list(students)
    hands = in_hand_of(students)
    return [(student, hands[student.pk]) for student in students]


@register.simple_tag
def engraved_bars(abc: str) -> Picture | None:
    """Kept bars as a picture; nothing where they cannot be read any more."""
    try:
        return picture_of(abc) if abc else None
    except MusicError:
        return None


@register.inclusion_tag("repertoire/of_student.html")
def repertoire_of(student: Student) -> dict[str, Any]:
    """The panel on a student's own page: in hand now, and what was just before."""
    learned = student.pieces.learned().select_related("work")
    return {
        "student": student,
        "hand": in_hand_of([student])[student.pk],
        "learned": learned.order_by("-finished", "-pk")[:LATELY],
        "scales": student.scales.exclude(until=None)[:LATELY],
        "etudes": student.etudes.exclude(until=None).select_related("work")[:LATELY],
        "favourites": student.favourites.filter(retired=None).select_related("work"),
    }

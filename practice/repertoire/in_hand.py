"""What students have in hand, read for many of them at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from django.db.models import Prefetch

from practice.repertoire.models import EtudeInHand, PieceInHand, ScaleInHand, Spot
from studio.people.models import Student

if TYPE_CHECKING:
    from django.db.models import QuerySet


@dataclass(slots=True)
class InHand:
    """One student's pieces (each with its `hard_spots`), scale and etude, where there are any."""

    pieces: list[PieceInHand] = field(default_factory=list)
    scale: ScaleInHand | None = None
    etude: EtudeInHand | None = None

    def __bool__(self) -> bool:
        return bool(self.pieces or self.scale or self.etude)


def in_hand_of(students: Iterable[Student]) -> dict[int, InHand]:
    """By the student's primary key; every student given has an entry. Four queries."""
    hands = {student.pk: InHand() for student in students}
    for piece in pieces_in_hand().filter(student__in=hands):
        hands[piece.student_id].pieces.append(piece)
    for scale in ScaleInHand.objects.filter(student__in=hands, until=None):
        hands[scale.student_id].scale = scale
    for etude in EtudeInHand.objects.filter(student__in=hands, until=None).select_related("work"):
        hands[etude.student_id].etude = etude
    return hands


def pieces_in_hand() -> QuerySet[PieceInHand]:
    """With the work, and the open spots in `hard_spots`, the hardest first."""
    spots = Spot.objects.exclude(state=Spot.State.SOLVED)
    hard = Prefetch("spots", queryset=spots, to_attr="hard_spots")
    return PieceInHand.objects.in_hand().select_related("work").prefetch_related(hard)

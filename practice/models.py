"""Django looks for models here; each area keeps its own."""

from practice.logs.models import LessonNote, LogEntry, Mark, Receipt, Word
from practice.plans.models import Assignment, Item, Plan, Sheet
from practice.repertoire.models import (
    Bowing,
    EtudeInHand,
    Favourite,
    Idea,
    PieceInHand,
    ScaleInHand,
    Spot,
    Work,
)

__all__ = [
    "Assignment",
    "Bowing",
    "EtudeInHand",
    "Favourite",
    "Idea",
    "Item",
    "LessonNote",
    "LogEntry",
    "Mark",
    "PieceInHand",
    "Plan",
    "Receipt",
    "ScaleInHand",
    "Sheet",
    "Spot",
    "Word",
    "Work",
]

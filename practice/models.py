"""Django looks for models here; each area keeps its own."""

from practice.logs.models import LessonNote, LogEntry, Mark, Receipt, ScaleHeard, Word
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
from practice.reports.models import Report
from practice.scores.models import Score

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
    "Report",
    "ScaleHeard",
    "ScaleInHand",
    "Score",
    "Sheet",
    "Spot",
    "Word",
    "Work",
]

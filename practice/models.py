"""Django looks for models here; each area keeps its own."""

from practice.logs.models import LessonNote, LogEntry, Mark, Receipt, ScaleHeard, Word
from practice.plans.models import Assignment, Item, Plan, Sheet
from practice.printing.models import PrintJob, PrintPart
from practice.recitals.models import Performance, Programme, Thanks
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
    "Performance",
    "PieceInHand",
    "Plan",
    "PrintJob",
    "PrintPart",
    "Programme",
    "Receipt",
    "Report",
    "ScaleHeard",
    "ScaleInHand",
    "Score",
    "Sheet",
    "Spot",
    "Thanks",
    "Word",
    "Work",
]

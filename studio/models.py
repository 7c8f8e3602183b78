"""Django looks for models here; each area keeps its own."""

from studio.access.models import Allowance, SignInTicket, Studio
from studio.lessons.models import Lesson, Slot
from studio.links.models import HomeLink
from studio.people.models import Family, Guardian, Student
from studio.terms.models import Closure, Term

__all__ = [
    "Allowance",
    "Closure",
    "Family",
    "Guardian",
    "HomeLink",
    "Lesson",
    "SignInTicket",
    "Slot",
    "Student",
    "Studio",
    "Term",
]

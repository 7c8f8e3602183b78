"""Django looks for models here; each area keeps its own."""

from studio.access.models import Allowance, SignInTicket, Studio
from studio.lessons.models import BusyTime, Lesson, LessonRules, Slot
from studio.links.models import HomeLink, TeacherLink
from studio.people.models import Family, Guardian, InstrumentSizeNote, Student
from studio.terms.models import Closure, Term

__all__ = [
    "Allowance",
    "BusyTime",
    "Closure",
    "Family",
    "Guardian",
    "HomeLink",
    "InstrumentSizeNote",
    "Lesson",
    "LessonRules",
    "SignInTicket",
    "Slot",
    "Student",
    "Studio",
    "TeacherLink",
    "Term",
]

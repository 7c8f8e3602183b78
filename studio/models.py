"""Django looks for models here; each area keeps its own."""

from studio.access.models import Allowance, SignInTicket, Studio
from studio.erasing.models import SetApart
from studio.lessons.models import BusyTime, Lesson, LessonRules, Slot
from studio.links.models import HomeLink, TeacherLink
from studio.people.models import Family, Guardian, InstrumentSizeNote, SizeHeld, Student
from studio.record.models import RecordEntry
from studio.roster.models import RosterImport
from studio.terms.models import Closure, Recital, Term

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
    "Recital",
    "RecordEntry",
    "RosterImport",
    "SetApart",
    "SignInTicket",
    "SizeHeld",
    "Slot",
    "Student",
    "Studio",
    "TeacherLink",
    "Term",
]

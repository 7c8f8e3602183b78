"""A sheet is frozen as it is printed, so that an old one prints again as it was."""

from __future__ import annotations

from dataclasses import replace

from django.utils.translation import gettext as _

from practice.plans.generate import built
from practice.plans.hand import hand_of
from practice.plans.models import Assignment, Plan, Sheet
from practice.plans.weeks import week_from
from practice.sheets.assemble import Occasion, sheet_data
from practice.sheets.bowed import chosen_bowings
from practice.sheets.data import Card, Code, SheetData
from practice.sheets.siblings import beside_siblings
from studio.lessons.models import Lesson


def freeze(plan: Plan, data: SheetData) -> Sheet:
    """The latest sheet when it says the very same, else the next edition."""
    content = data.to_json()
    latest = plan.sheets.order_by("-edition").first()
    if latest is not None and latest.data == content:
        return latest
    edition = latest.edition + 1 if latest else 1
    return Sheet.objects.create(plan=plan, edition=edition, data=content)


def sheet_of(assignment: Assignment, codes: tuple[Code, ...] = ()) -> SheetData:
    """What the sheet of a decided week says today; `codes` are what a phone can open."""
    student = assignment.student
    week = week_from(student, assignment.starts, assignment.lesson)
    hand = hand_of(student)
    upcoming = week.lessons[0] if week.lessons else None
    occasion = Occasion(
        student=student,
        studio=student.family.studio,
        week=week,
        next_lesson=upcoming or Lesson.objects.next_for(student, week.ends),
        listen_for=assignment.listen_for,
        idea=assignment.idea,
        bowings=chosen_bowings(student, hand),
    )
    said = sheet_data(occasion, hand, beside_siblings(student, built(assignment.plan)))
    return replace(said, also=(*said.also, *_notes(assignment)), codes=codes)


def _notes(assignment: Assignment) -> list[Card]:
    """What the teacher noted at the lesson for the student to read."""
    lesson = assignment.lesson
    notes = lesson.notes.filter(on_sheet=True).order_by("written") if lesson else ()
    return [Card(_("From the lesson:"), note.text) for note in notes]

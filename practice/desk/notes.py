"""The teacher's notes on one lesson: for herself, or printed on the sheet decided at it."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django import forms
from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from practice.logs.models import LessonNote
from studio import clock
from studio.lessons.guards import own_lesson
from studio.lessons.models import Lesson
from studio.people.guards import own_student
from studio.people.models import Student
from studio.record import noting
from studio.record.models import What
from studio.web.forms import PlainForm, answer, posted
from studio.web.http import StudioRequest
from studio.web.lately import lately
from studio.web.model_form import ModelForm

LONGEST_ON_SHEET = 240
LATELY = 20  # notes


class NoteForm(PlainForm, ModelForm[LessonNote]):
    on_sheet = forms.TypedChoiceField(
        label=_("Who reads it"),
        choices=[
            ("no", _("for you alone")),
            ("yes", _("home too: on the sheet and the home page")),
        ],
        coerce=lambda value: value == "yes",
        widget=forms.RadioSelect,
    )

    class Meta:
        model = LessonNote
        fields = ["text", "on_sheet"]
        labels = {"text": _("A note on this lesson")}
        widgets = {"text": forms.Textarea(attrs={"rows": 3})}

    def clean(self) -> dict[str, Any] | None:
        cleaned = super().clean() or self.cleaned_data
        text = cleaned.get("text", "")
        if cleaned.get("on_sheet") and len(text) > LONGEST_ON_SHEET:
            sentence = gettext("{n} characters; {most} find room on the sheet.")
            self.add_error("text", sentence.format(n=len(text), most=LONGEST_ON_SHEET))
        return cleaned


@require_http_methods(["GET", "HEAD", "POST"])
def notes(request: StudioRequest, pk: int) -> HttpResponse:
    lesson = own_lesson(request, pk)
    blank = LessonNote(lesson=lesson)
    form = NoteForm(**posted(request), instance=blank, initial={"on_sheet": "no"})
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("The note is kept."))
        return redirect("desk:notes", lesson.pk)
    context = {"lesson": lesson, "form": form, "notes": lesson.notes.all(), "section": "today"}
    return render(request, "desk/notes.html", context, status=answer(form))


@require_GET
def notes_of(request: StudioRequest, pk: int) -> HttpResponse:
    """The latest notes on one student's lessons, the latest lesson first; `?before=all`: all."""
    student = own_student(request, pk)
    notes = LessonNote.objects.filter(lesson__student=student).select_related("lesson")
    notes = notes.order_by("-lesson__date", "-lesson__starts", "written")
    shown, more = lately(request, notes, LATELY)
    context = {
        "student": student,
        "notes": shown,
        "more": more,
        "latest": latest_lesson(student, clock.today(request.studio)),
        "section": "students",
    }
    return render(request, "desk/notes_of.html", context)


def latest_lesson(student: Student, today: dt.date) -> Lesson | None:
    """The one a note is written on now: today's, or the last that stood."""
    return student.lessons.standing().filter(date__lte=today).order_by("-date", "-starts").first()


@require_POST
def note_reader(request: StudioRequest, pk: int) -> HttpResponse:
    """From private to the sheet, or back."""
    note = _own_note(request, pk)
    if not note.on_sheet and len(note.text) > LONGEST_ON_SHEET:
        sentence = gettext("This note has {n} characters; {most} find room on a sheet.")
        messages.error(request, sentence.format(n=len(note.text), most=LONGEST_ON_SHEET))
    else:
        note.on_sheet = not note.on_sheet
        note.save(update_fields=["on_sheet"])
    return redirect("desk:notes", note.lesson_id)


@require_POST
def note_remove(request: StudioRequest, pk: int) -> HttpResponse:
    note = _own_note(request, pk)
    with transaction.atomic():
        note.delete()
        said = gettext("a note on a lesson")
        noting.note(request, What.ERASED, said, student=note.lesson.student)
    messages.success(request, _("The note is removed."))
    return redirect("desk:notes", note.lesson_id)


def _own_note(request: StudioRequest, pk: int) -> LessonNote:
    whose = {"lesson__student__family__studio": request.studio}
    return get_object_or_404(LessonNote, pk=pk, **whose)

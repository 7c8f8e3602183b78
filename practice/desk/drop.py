"""Taking in the log files that homes send back: all of a file, or nothing of it."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods

from practice.home.take_home import MOST_BYTES, read_log
from practice.logs.models import LogEntry
from practice.logs.record import NotTaken, take
from practice.plans.models import Assignment
from studio import clock
from studio.people.models import Student
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest


class DropForm(forms.Form):
    file = forms.FileField(
        label=_("Log file"),
        error_messages={
            "required": _("Choose the log file that home has sent."),
            "empty": _("The log file is empty. Ask home to write it again."),
        },
        widget=forms.FileInput(attrs={"accept": ".json,application/json"}),
    )


@require_http_methods(["GET", "HEAD", "POST"])
def drop(request: StudioRequest) -> HttpResponse:
    form = DropForm(**posted(request))
    if form.is_valid():
        try:
            student, new = _taken_in(request, form.cleaned_data["file"])
        except NotTaken as refused:
            form.add_error("file", refused.sentence)
        else:
            _tell(request, student, new)
            return redirect("desk:drop")
    context = {"form": form, "section": "today"}
    return render(request, "desk/drop.html", context, status=answer(form))


@transaction.atomic
def _taken_in(request: StudioRequest, file: UploadedFile) -> tuple[Student, int]:
    """Whose log it was, and how many of its messages were new. Raises NotTaken."""
    now, today = clock.now(), clock.today(request.studio)
    log = read_log(file.read(MOST_BYTES + 1), now)
    whose = Assignment.objects.filter(student__family__studio=request.studio)
    week = whose.select_related("student").filter(pk=log.assignment).first()
    if week is None:
        raise NotTaken(gettext("This log belongs to a sheet that is not in your studio."))
    new = [take(each, week.student, LogEntry.Source.FILE, now, today) for each in log.messages]
    return week.student, sum(new)


def _tell(request: StudioRequest, student: Student, new: int) -> None:
    name = student.given_name
    if new:
        said = ngettext(
            "{name}’s log is taken in: {n} new entry.",
            "{name}’s log is taken in: {n} new entries.",
            new,
        )
        messages.success(request, said.format(name=name, n=new))
    else:
        said = gettext("{name}’s log was here already. Nothing was changed.")
        messages.info(request, said.format(name=name))

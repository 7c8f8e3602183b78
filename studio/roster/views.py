"""Students from a list: looked at first, then brought in, and taken back if need be."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Final

from django.contrib import messages
from django.core import signing
from django.db import transaction
from django.db.models import Count
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_POST

from studio import clock
from studio.access.models import Studio
from studio.record.models import What
from studio.record.noting import note
from studio.roster import taking
from studio.roster.forms import ColumnsForm, ListForm
from studio.roster.guards import own_roster
from studio.roster.headings import proposed
from studio.roster.people import Reading, order_of, read_people
from studio.roster.planning import RosterPlan, plan
from studio.roster.tables import Line, UnreadableTable, read
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest

SALT: Final = "studio.roster"
HOLDS_FOR: Final = dt.timedelta(hours=2)
SAMPLES: Final = 3


@dataclass(frozen=True)
class Held:
    """The list as it was uploaded; the page carries it, signed, so nothing is kept of it."""

    name: str
    lines: list[Line]

    def headings(self, headless: bool) -> list[str]:
        width = max(len(line.cells) for line in self.lines)
        first = () if headless else self.lines[0].cells
        return [
            first[place][:60]
            if place < len(first) and first[place]
            else _("Column {n}").format(n=place + 1)
            for place in range(width)
        ]

    def body(self, headless: bool) -> list[Line]:
        return self.lines if headless else self.lines[1:]

    def columns(self, headless: bool) -> list[list[str]]:
        body = self.body(headless)
        return [
            [line.cells[place] if place < len(line.cells) else "" for line in body]
            for place in range(len(self.headings(headless)))
        ]

    def signed(self, studio: Studio) -> str:
        rows = [[line.number, list(line.cells)] for line in self.lines]
        return signing.dumps([studio.pk, self.name, rows], salt=SALT, compress=True)


@require_GET
def roster(request: StudioRequest) -> HttpResponse:
    return _page(request, ListForm())


def _page(request: StudioRequest, form: ListForm) -> HttpResponse:
    made = request.studio.rosters.annotate(count=Count("students")).order_by("-made", "-pk")
    return render(request, "roster/roster.html", {"form": form, "made": made}, status=answer(form))


@require_POST
def read_list(request: StudioRequest) -> HttpResponse:
    """The file that was chosen, its columns proposed. Nothing is stored."""
    form = ListForm(**posted(request))
    if not form.is_valid():
        return _page(request, form)
    upload = form.cleaned_data["file"]
    try:
        held = Held(upload.name[-120:], read(upload.read()))
    except UnreadableTable as reason:
        form.add_error("file", str(reason))
        return _page(request, form)
    return _look(request, held, _proposing(request.studio, held))


def _proposing(studio: Studio, held: Held) -> ColumnsForm:
    kinds = proposed(held.headings(False), held.columns(False))
    usual = "mdy" if studio.paper == Studio.Paper.LETTER else "dmy"
    initial = {f"column_{place}": kind.value for place, kind in enumerate(kinds)}
    initial["order"] = order_of(held.body(False), kinds, usual)
    return ColumnsForm(headings=held.headings(False), initial=initial)


@require_POST
def look(request: StudioRequest) -> HttpResponse:
    """The same list with other columns, or with doubles ticked."""
    held = _held(request)
    if held is None:
        return redirect("roster:roster")
    return _look(request, held, _columns(request, held))


@require_POST
def take(request: StudioRequest) -> HttpResponse:
    """Bring in what was looked at, in one transaction; if it became something else, look again."""
    held = _held(request)
    if held is None:
        return redirect("roster:roster")
    form = _columns(request, held)
    if not form.is_valid():
        return _look(request, held, form)
    today = clock.today(request.studio)
    with transaction.atomic():
        Studio.objects.select_for_update().get(pk=request.studio.pk)
        planned = _planned(request, held, form)[1]
        seen = planned.digest == request.POST.get("seen")
        if seen and planned.students:
            made = taking.bring_in(request.studio, planned, held.name, today)
            noted = ngettext(
                "a list with {n} student", "a list with {n} students", planned.students
            )
            note(request, What.IMPORTED, noted.format(n=planned.students))
    if not seen:
        form.add_error(None, _("Look at it once more. Nothing was brought in yet."))
        return _look(request, held, form)
    if not planned.students:
        form.add_error(None, _("There is nobody to bring in. Nothing was brought in yet."))
        return _look(request, held, form)
    messages.success(request, _brought_in(planned))
    return redirect("roster:made", made.pk)


def _brought_in(planned: RosterPlan) -> str:
    said = _("{students}, {guardians} and {families} are in your studio.")
    students = ngettext("{n} student", "{n} students", planned.students)
    guardians = ngettext("{n} guardian", "{n} guardians", planned.guardians)
    families = ngettext("{n} new family", "{n} new families", planned.families)
    return said.format(
        students=students.format(n=planned.students),
        guardians=guardians.format(n=planned.guardians),
        families=families.format(n=planned.families),
    )


def _look(request: StudioRequest, held: Held, form: ColumnsForm) -> HttpResponse:
    reading, planned = None, None
    if not form.is_bound or form.is_valid() or not _of_columns(form):
        reading, planned = _planned(request, held, form)
    headless = _headless(form)
    samples = [
        ", ".join([cell for cell in column if cell][:SAMPLES]) for column in held.columns(headless)
    ]
    context = {
        "form": form,
        "columns": [(form[n], s) for n, s in zip(form.columns, samples, strict=True)],
        "name": held.name,
        "held": held.signed(request.studio),
        "reading": reading,
        "plan": planned,
    }
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "roster/look.html", context, status=status)


def _of_columns(form: ColumnsForm) -> bool:
    return any(name in form.errors for name in (*form.columns, "order"))


def _planned(request: StudioRequest, held: Held, form: ColumnsForm) -> tuple[Reading, RosterPlan]:
    given = form.cleaned_data if form.is_bound else form.initial
    headless = _headless(form)
    reading = read_people(
        held.body(headless),
        form.kinds,
        held.headings(headless),
        order=given["order"],
        today=clock.today(request.studio),
    )
    ticked = request.POST.getlist("double")
    chosen = [int(line) for line in ticked if line.isascii() and line.isdecimal() and len(line) < 9]
    return reading, plan(request.studio, reading.people, chosen)


def _columns(request: StudioRequest, held: Held) -> ColumnsForm:
    headless = "headless" in request.POST
    return ColumnsForm(**posted(request), headings=held.headings(headless))


def _headless(form: ColumnsForm) -> bool:
    return bool(form.is_bound and "headless" in form.data)


def _held(request: StudioRequest) -> Held | None:
    """The list the page carries; None, with a message, where it is not hers or too old."""
    try:
        studio_pk, name, rows = signing.loads(
            request.POST.get("held", ""), salt=SALT, max_age=HOLDS_FOR
        )
    except signing.BadSignature:
        messages.error(request, _("That was too long ago. Choose the list once more."))
        return None
    if studio_pk != request.studio.pk:
        messages.error(request, _("That list was read for another studio."))
        return None
    return Held(name, [Line(number, tuple(cells)) for number, cells in rows])


@require_GET
def made(request: StudioRequest, pk: int) -> HttpResponse:
    """What a list brought in, and what would go if it were taken back."""
    roster = own_roster(request, pk)
    context = {"roster": roster, "undoing": taking.undoing(roster)}
    return render(request, "roster/made.html", context)


@require_POST
def undo(request: StudioRequest, pk: int) -> HttpResponse:
    roster = own_roster(request, pk)
    gone = taking.take_back(roster)
    students = len(gone.students)
    noted = ngettext("{n} student taken back", "{n} students taken back", students)
    note(request, What.IMPORT_UNDONE, noted.format(n=students))
    words = ngettext(
        "{n} student of “{list}” taken back.", "{n} students of “{list}” taken back.", students
    ).format(n=students, list=roster.name)
    if not gone.staying:
        messages.success(request, words)
        return redirect("roster:roster")
    stayed = ngettext("{n} thing stayed.", "{n} things stayed.", len(gone.staying))
    messages.warning(request, f"{words} {stayed.format(n=len(gone.staying))}")
    return redirect("roster:made", pk)

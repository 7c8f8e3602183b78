"""A term's reports: who has words, writing one with its figures beside it, giving it."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_POST

from practice.reports import editions
from practice.reports.data import ReportData
from practice.reports.figures import term_figures
from practice.reports.forms import WordsForm
from practice.reports.guards import own_student_of, own_term
from practice.reports.models import Report
from practice.reports.notes import noted_in
from practice.reports.overview import term_rows
from practice.reports.pictures import pictures_of
from practice.reports.render import ReportTooLong, report_pdf
from practice.reports.starters import starters
from studio import clock
from studio.people.guards import own_student
from studio.people.models import Student
from studio.record.models import What
from studio.record.noting import note
from studio.terms.models import Term
from studio.web.forms import posted
from studio.web.fragments import page_or_fragment, wants_fragment
from studio.web.http import StudioRequest
from studio.web.pdf import PrintingMissing

LATELY = 5  # terms


@dataclass(frozen=True)
class Desk:
    """One student's term on the table: every edition, and the figures as they are today."""

    term: Term
    student: Student
    editions: list[Report]
    figures: ReportData

    @property
    def draft(self) -> Report | None:
        return next((each for each in self.editions if each.given is None), None)

    @property
    def given(self) -> list[Report]:
        """Those that were given, the latest first."""
        return [each for each in reversed(self.editions) if each.given is not None]

    @property
    def latest(self) -> Report | None:
        return self.editions[-1] if self.editions else None

    @property
    def before(self) -> Report | None:
        return self.given[0] if self.given else None


def on_the_table(request: StudioRequest, term_id: int, student_id: int) -> Desk:
    term = own_term(request, term_id)
    student = own_student_of(request, term, student_id)
    figures = term_figures(term, [student], clock.today(request.studio))[student.pk]
    rows = editions.editions_of(term, [student.pk]).get(student.pk, [])
    return Desk(term, student, rows, figures)


@require_GET
def term(request: StudioRequest, term_id: int | None = None) -> HttpResponse:
    """The list of the term asked for, or of the latest that has begun; `?earlier` offers all."""
    terms = list(Term.objects.of(request.studio).select_related("studio").order_by("-starts"))
    if term_id is not None:
        chosen: Term | None = own_term(request, term_id)
    else:
        today = clock.today(request.studio)
        begun = [each for each in terms if each.starts <= today]
        chosen = begun[0] if begun else (terms[-1] if terms else None)
    rows = term_rows(chosen) if chosen else []
    shown = [
        each
        for place, each in enumerate(terms)
        if place < LATELY or each == chosen or "earlier" in request.GET
    ]
    context = {
        "terms": shown,
        "has_earlier": len(shown) < len(terms),
        "term": chosen,
        "rows": rows,
        "none_yet": [row for row in rows if row.state == "none"],
        "to_give": [row for row in rows if row.draft and row.letters],
        "given": [row for row in rows if row.given],
        "section": "reports",
    }
    return render(request, "reports/term.html", context)


@require_GET
def latest(request: StudioRequest, student_id: int) -> HttpResponse:
    """To the student's report of the latest term that has begun."""
    student = own_student(request, student_id)
    terms = Term.objects.of(request.studio).order_by("-starts")
    term = terms.filter(starts__lte=clock.today(request.studio)).first()
    if term is None or student.started > term.ends:
        return redirect("reports:term")
    return redirect("reports:report", term.pk, student.pk)


@require_GET
def report(request: StudioRequest, term_id: int, student_id: int) -> HttpResponse:
    table = on_the_table(request, term_id, student_id)
    return _page(request, table, WordsForm(initial={"words": _words(table)}))


def _words(table: Desk) -> str:
    return table.latest.words if table.latest else ""


def _page(
    request: StudioRequest, table: Desk, form: WordsForm, status: int = 200, trouble: str = ""
) -> HttpResponse:
    writing = table.latest is None or table.latest.given is None
    data = editions.shown(table.latest, table.figures, table.before)
    rows = term_rows(table.term)
    names = [row.student.pk for row in rows]
    here = names.index(table.student.pk) if table.student.pk in names else -1
    context = {
        "table": table,
        "data": data,
        "pictures": pictures_of(data),
        "form": form,
        "writing": writing,
        "starters": starters(data) if writing else [],
        "notes": noted_in(table.term, table.student),
        "next": rows[here + 1].student if 0 <= here < len(rows) - 1 else None,
        "trouble": trouble,
        "section": "reports",
    }
    return page_or_fragment(
        request, "reports/report.html", "reports/writing.html", context, status=status
    )


@require_POST
def draft(request: StudioRequest, term_id: int, student_id: int) -> HttpResponse:
    """Keeps the words; as they are typed, or by the button."""
    term, form = own_term(request, term_id), WordsForm(**posted(request))
    student = own_student_of(request, term, student_id)
    kept, trouble = None, ""
    if form.is_valid():
        kept = editions.keep_words(term, student, form.cleaned_data["words"])
        trouble = "" if kept else _given_meanwhile(student)
    if wants_fragment(request):
        context = {"kept": kept, "form": form, "trouble": trouble}
        status = 200 if kept else 422
        return render(request, "reports/kept.html", context, status=status)
    if kept:
        words = _("The words about {name} are kept.").format(name=student.given_name)
        messages.success(request, words)
        return redirect("reports:report", term_id, student_id)
    return _page(request, on_the_table(request, term_id, student_id), form, 422, trouble)


def _given_meanwhile(student: Student) -> str:
    return _(
        "These words were not kept: the report of {name} was given meanwhile."
        " Copy them, then open the page again and make a correction."
    ).format(name=student.given_name)


@require_POST
def start(request: StudioRequest, term_id: int, student_id: int) -> HttpResponse:
    """Puts a first sentence with figures after what is typed, and keeps both."""
    table = on_the_table(request, term_id, student_id)
    form, wanted = WordsForm(**posted(request)), request.POST.get("starter", "")
    text = next((each.text for each in starters(table.figures) if each.key == wanted), "")
    if form.is_valid():
        words = form.cleaned_data["words"].rstrip()
        form = WordsForm({"words": f"{words} {text}".strip()})
    if not form.is_valid():
        return _page(request, table, form, 422)
    kept = editions.keep_words(table.term, table.student, form.cleaned_data["words"])
    if kept is None:
        return _page(request, table, form, 422, _given_meanwhile(table.student))
    if wants_fragment(request):
        return _page(request, on_the_table(request, term_id, student_id), form)
    return redirect("reports:report", term_id, student_id)


@require_POST
def give_one(request: StudioRequest, term_id: int, student_id: int) -> HttpResponse:
    """Freezes what is on the table; refused while it has no words or does not fit on paper."""
    table, form = on_the_table(request, term_id, student_id), WordsForm(**posted(request))
    if table.draft is None and table.given:
        return _page(request, table, form, 422, _given_meanwhile(table.student))
    if not form.is_valid():
        return _page(request, table, form, 422)
    editions.keep_words(table.term, table.student, form.cleaned_data["words"])
    table = on_the_table(request, term_id, student_id)
    trouble = _give(request, table)
    if trouble:
        return _page(request, table, form, 422, trouble)
    words = _("The report of {name} is given.").format(name=table.student.given_name)
    messages.success(request, words)
    return redirect("reports:report", term_id, student_id)


def _give(request: StudioRequest, table: Desk) -> str:
    """Why it was not given, or nothing."""
    if table.draft is None:
        return editions.no_words(table.student.given_name)
    try:
        report_pdf(editions.shown(table.draft, table.figures, table.before))
    except ReportTooLong as reason:
        return str(reason)
    except PrintingMissing:
        pass  # it can be given on a computer that cannot print
    now, zone = clock.now(), request.studio.zone
    try:
        with transaction.atomic():
            given = editions.give(table.draft, table.figures, table.before, now, zone)
            edition = _("edition {number}").format(number=given.edition)
            note(request, What.REPORT_GIVEN, edition, student=table.student)
    except editions.NothingToGive as reason:
        return str(reason)
    return ""


@require_POST
def correct_one(request: StudioRequest, term_id: int, student_id: int) -> HttpResponse:
    """A draft of the next edition, with the words of the one before."""
    table = on_the_table(request, term_id, student_id)
    with transaction.atomic():
        if table.before is not None:
            editions.correct(table.before)
    return redirect("reports:report", term_id, student_id)


@require_POST
def give_all(request: StudioRequest, term_id: int) -> HttpResponse:
    """Gives every draft that has words; tells which could not be given and why."""
    term = own_term(request, term_id)
    rows = [row for row in term_rows(term) if row.draft and row.letters]
    students = [row.student for row in rows]
    figures = term_figures(term, students, clock.today(request.studio))
    troubles = []
    for row in rows:
        table = Desk(term, row.student, list(row.editions), figures[row.student.pk])
        trouble = _give(request, table)
        troubles += [trouble] if trouble else []
    for trouble in troubles:
        messages.error(request, trouble)
    given = len(rows) - len(troubles)
    if given:
        words = ngettext("{n} report given.", "{n} reports given.", given).format(n=given)
        messages.success(request, words)
    return redirect("reports:of-term", term_id)

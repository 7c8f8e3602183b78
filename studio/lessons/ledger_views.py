"""The ledger of a term, statements for families, and the term on paper."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from studio import clock
from studio.lessons import addresses, term_print
from studio.lessons.calendar_views import SECTION
from studio.lessons.statements import accounts, family_accounts
from studio.lessons.term_views import own_term
from studio.people.guards import own_family
from studio.people.models import Family, Student
from studio.terms.models import Term
from studio.web.http import StudioRequest
from studio.web.pdf import PrintingMissing, pdf_answer


@require_GET
def ledger(request: StudioRequest, pk: int) -> HttpResponse:
    """Every student's term in figures."""
    term = own_term(request, pk)
    students = list(Student.objects.of(request.studio).select_related("family"))
    rows = accounts(term, students, clock.today(request.studio))
    names = ("owed", "given", "made_up", "make_ups", "to_come", "unmarked", "forfeited")
    totals = {name: sum(getattr(row.ledger, name) for row in rows) for name in names}
    context = {"term": term, "accounts": rows, "totals": totals, **SECTION}
    return render(request, "terms/ledger.html", context)


@require_GET
def statement(request: StudioRequest, pk: int, family_pk: int) -> HttpResponse:
    term, family = own_term(request, pk), own_family(request, family_pk)
    rows = family_accounts(term, family, clock.today(request.studio))
    context = {"term": term, "family": family, "accounts": rows, **SECTION}
    return render(request, "terms/statement.html", context)


@require_GET
def statement_pdf(request: StudioRequest, pk: int, family_pk: int) -> HttpResponse:
    term, family = own_term(request, pk), own_family(request, family_pk)
    today = clock.today(request.studio)
    rows = family_accounts(term, family, today)
    if not rows:
        raise Http404("No lessons of this family in the term.")  # no words: the page shows none
    try:
        body = term_print.statement_pdf(term, family, rows, today)
    except PrintingMissing as reason:
        return _not_printed(request, reason)
    name = _("{term} {family} statement").format(term=term.name, family=family.name)
    return pdf_answer(body, name)


@require_GET
def family_pdf(request: StudioRequest, pk: int, family_pk: int) -> HttpResponse:
    term, family = own_term(request, pk), own_family(request, family_pk)
    return _family_pages(request, term, [family], family.name)


@require_GET
def families_pdf(request: StudioRequest, pk: int) -> HttpResponse:
    """The pages of all families in one file."""
    families = Family.objects.filter(studio=request.studio).prefetch_related("students")
    return _family_pages(request, own_term(request, pk), list(families), _("families"))


def _family_pages(
    request: StudioRequest, term: Term, families: list[Family], whose: str
) -> HttpResponse:
    codes = addresses.family_pages(request, families)
    pages = term_print.family_pages(term, families, codes)
    if not pages:
        raise Http404("Nobody here has lessons in the term.")  # no words: the page shows none
    try:
        body = term_print.families_pdf(term, pages)
    except PrintingMissing as reason:
        return _not_printed(request, reason)
    return pdf_answer(body, f"{term.name} {whose}")


@require_GET
def wall_pdf(request: StudioRequest, pk: int) -> HttpResponse:
    term = own_term(request, pk)
    try:
        body = term_print.wall_pdf(term, clock.today(request.studio))
    except PrintingMissing as reason:
        return _not_printed(request, reason)
    return pdf_answer(body, _("{term} wall").format(term=term.name))


def _not_printed(request: StudioRequest, reason: PrintingMissing) -> HttpResponse:
    return render(request, "terms/not_printed.html", {"reason": str(reason)}, status=503)

"""Terms and closures: what they do to lessons happens in the same step."""

from __future__ import annotations

import datetime as dt

from django.contrib import messages
from django.db.models import Count, Q
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from studio import clock
from studio.lessons import schedule
from studio.lessons.booking import Refused, changing
from studio.lessons.calendar_views import SECTION
from studio.lessons.change_views import GET_OR_POST
from studio.lessons.models import Lesson
from studio.lessons.slot_views import tell
from studio.terms.forms import ClosureForm, CountryForm, TermForm
from studio.terms.models import Closure, Recital, Term
from studio.terms.public_holidays import between
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest

A_QUARTER = dt.timedelta(weeks=13)


def own_term(request: StudioRequest, pk: int) -> Term:
    return get_object_or_404(Term.objects.select_related("studio"), pk=pk, studio=request.studio)


def own_closure(request: StudioRequest, pk: int) -> Closure:
    found = Closure.objects.select_related("studio")
    return get_object_or_404(found, pk=pk, studio=request.studio)


@require_GET
def terms(request: StudioRequest) -> HttpResponse:
    """Of the last quarter and to come; `?earlier` shows them all."""
    today = clock.today(request.studio)
    all_terms = list(Term.objects.of(request.studio).order_by("-starts"))
    since = dt.date.min if "earlier" in request.GET else today - A_QUARTER
    rows = [term for term in all_terms if term.ends >= since]
    counts = _lesson_counts(request, rows)
    recitals = list(Recital.objects.of(request.studio))
    closures = list(Closure.objects.filter(studio=request.studio).order_by("starts"))
    past = [each for each in reversed(closures) if each.ends < today]
    lately = [each for each in past if each.ends >= since]
    context = {
        "terms": [
            (
                term,
                counts.get(term.pk, 0),
                [each for each in recitals if term.holds(each.date)],
            )
            for term in rows
        ],
        "has_recitals": bool(recitals),
        "between_terms": [
            each
            for each in recitals
            if each.date >= today and not any(term.holds(each.date) for term in rows)
        ],
        "closures": [each for each in closures if each.ends >= today],
        "past_closures": lately,
        "has_earlier": len(rows) < len(all_terms) or len(lately) < len(past),
        "today": today,
        "room": "terms",
        **SECTION,
    }
    return render(request, "terms/terms.html", context)


def _lesson_counts(request: StudioRequest, rows: list[Term]) -> dict[int, int]:
    """Lessons of each term, in one query: the database counts days, for terms may be many."""
    if not rows:
        return {}
    first, last = min(term.starts for term in rows), max(term.ends for term in rows)
    days = Lesson.objects.of(request.studio).within(first, last).order_by().values_list("date")
    # Counted apart rather than left out: SQLite would look for those that make up for nothing.
    found = list(days.annotate(n=Count("pk", filter=Q(makes_up=None))))
    return {term.pk: sum(count for day, count in found if term.holds(day)) for term in rows}


@require_http_methods(GET_OR_POST)
def term_add(request: StudioRequest) -> HttpResponse:
    return _term_form(request, Term(studio=request.studio))


@require_http_methods(GET_OR_POST)
def term_edit(request: StudioRequest, pk: int) -> HttpResponse:
    return _term_form(request, own_term(request, pk))


def _term_form(request: StudioRequest, term: Term) -> HttpResponse:
    if request.method == "POST":
        with changing(request.studio):
            form = TermForm(**posted(request), instance=term)
            saved = form.is_valid()
            if saved:
                term = form.save()
        if saved:
            today = clock.today(request.studio)
            schedule.take_out_strays(request.studio, today)
            tell(request, schedule.fill(request.studio, [term], today))
            return redirect("lessons:terms")
    else:
        form = TermForm(instance=term)
    context = {"form": form, "term": term, **SECTION}
    return render(request, "terms/term_form.html", context, status=answer(form))


@require_POST
def term_fill(request: StudioRequest, pk: int) -> HttpResponse:
    """Plan what is missing: after a closure was taken back, or a clash was cleared."""
    term = own_term(request, pk)
    tell(request, schedule.fill(request.studio, [term], clock.today(request.studio)))
    return redirect("lessons:terms")


@require_POST
def term_remove(request: StudioRequest, pk: int) -> HttpResponse:
    """Only a term nothing has happened in; its planned lessons go with it."""
    term = own_term(request, pk)
    try:
        schedule.remove_term(term)
    except Refused as reason:
        messages.error(request, str(reason))
    else:
        messages.success(request, _("{term} is taken out.").format(term=term.name))
    return redirect("lessons:terms")


@require_http_methods(GET_OR_POST)
def closure_add(request: StudioRequest) -> HttpResponse:
    closure = Closure(studio=request.studio)
    form = ClosureForm(**posted(request), instance=closure)
    if form.is_valid():
        closure = form.save()
        gone = schedule.close(closure, clock.today(request.studio))
        noted = _("{name} is noted.").format(name=closure.name)
        messages.success(request, f"{noted} {_taken_out(gone)}")
        return redirect("lessons:terms")
    context = {"form": form, **SECTION}
    return render(request, "terms/closure_form.html", context, status=answer(form))


def _taken_out(count: int) -> str:
    if not count:
        return _("No planned lesson lay on it.")
    words = ngettext(
        "{n} planned lesson was taken out.", "{n} planned lessons were taken out.", count
    )
    return words.format(n=count)


@require_POST
def closure_remove(request: StudioRequest, pk: int) -> HttpResponse:
    """Open again; the lessons of those days are planned anew."""
    closure = own_closure(request, pk)
    closure.delete()
    today = clock.today(request.studio)
    tell(
        request, schedule.fill(request.studio, schedule.coming_terms(request.studio, today), today)
    )
    return redirect("lessons:terms")


@require_http_methods(GET_OR_POST)
def holidays(request: StudioRequest) -> HttpResponse:
    """Public holidays inside coming terms: GET chooses the country, POST takes the ticks."""
    today = clock.today(request.studio)
    chosen = request.POST if request.method == "POST" else request.GET
    country, region = chosen.get("country", ""), chosen.get("region", "")
    form = CountryForm(initial={"country": country, "region": region}, country=country)
    stretches = [
        (max(term.starts, today), term.ends)
        for term in schedule.coming_terms(request.studio, today)
    ]
    closed = schedule.closures(request.studio)
    offered = [
        (day, name, any(first <= day <= last for first, last in closed))
        for day, name in between(country, region, stretches)
    ]
    if request.method == "POST":
        ticked = set(request.POST.getlist("day"))
        taken = [
            Closure(studio=request.studio, name=name[:80], starts=day, ends=day)
            for day, name, is_closed in offered
            if day.isoformat() in ticked and not is_closed
        ]
        Closure.objects.bulk_create(taken)
        gone = sum(schedule.close(closure, today) for closure in taken)
        days = ngettext("Closed on {n} day.", "Closed on {n} days.", len(taken))
        messages.success(request, f"{days.format(n=len(taken))} {_taken_out(gone)}")
        return redirect("lessons:terms")
    context = {
        "form": form,
        "offered": offered,
        "country": country,
        "region": region,
        "has_terms": bool(stretches),
        **SECTION,
    }
    return render(request, "terms/holidays.html", context)

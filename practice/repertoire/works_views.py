"""The catalogue and the teacher's own works; the ideas to explore."""

from __future__ import annotations

from typing import Final

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import ProtectedError, Q
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from practice.repertoire.finding import DIFFICULTIES, in_order, techniques_of, wanted
from practice.repertoire.forms import IdeaForm, WorkForm
from practice.repertoire.guards import open_work, own_idea, own_work
from practice.repertoire.models import Idea, PieceInHand, Work
from studio.web.forms import answer, posted
from studio.web.fragments import page_or_fragment
from studio.web.http import StudioRequest
from studio.web.lately import lately
from studio.web.numbers import number_of
from studio.web.search import folded

ON_A_PAGE: Final = 40
LATELY: Final = 12  # students who had a work, unless all are asked for


@require_GET
def works(request: StudioRequest) -> HttpResponse:
    everything = in_order(Work.objects.open_to(request.studio))
    asked = wanted(request.GET)
    found = [work for work in everything if asked.fits(work)]
    query = request.GET.copy()
    query.pop("page", None)
    context = {
        "asked": asked,
        "page": Paginator(found, ON_A_PAGE).get_page(request.GET.get("page")),
        "query": query.urlencode(),
        "kinds": Work.Kind.choices,
        "techniques": techniques_of(everything),
        "difficulties": DIFFICULTIES,
    }
    return page_or_fragment(request, "repertoire/works.html", "repertoire/works_rows.html", context)


@require_GET
def work(request: StudioRequest, pk: int) -> HttpResponse:
    """One work and which of her students have it, had it lately or love it; `?before=all`: ever."""
    work = open_work(request, pk)
    hers = Q(student__family__studio=request.studio)
    pieces = work.in_hand.filter(hers).select_related("student")
    etudes = work.as_etude.filter(hers).select_related("student")
    favourites = work.as_favourite.filter(hers, retired=None).select_related("student")
    finished = pieces.filter(stage=PieceInHand.Stage.FINISHED).order_by("-finished", "-pk")
    learned, more_learned = lately(request, finished, LATELY)
    studied = etudes.exclude(until=None).order_by("-until", "-since")
    before, more_studied = lately(request, studied, LATELY)
    context = {
        "work": work,
        "in_hand": pieces.filter(finished=None),
        "learned": learned,
        "etudes": [*etudes.filter(until=None).order_by("-since"), *before],
        "more": more_learned or more_studied,
        "favourites": favourites,
        "scores": work.scores.filter(studio=request.studio).defer("data"),
    }
    return render(request, "repertoire/work.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def work_add(request: StudioRequest) -> HttpResponse:
    """A work of her own; `?like=` starts from one of the catalogue, to put it right."""
    like = number_of(request.GET.get("like", ""))
    model = Work() if like is None else open_work(request, like)
    names = WorkForm.Meta.fields
    initial = {name: getattr(model, name) for name in names}
    form = WorkForm(**posted(request), initial=initial)
    if form.is_valid():
        saved = form.save_for(request.studio)
        messages.success(request, _("{work} is among your own works.").format(work=saved))
        return redirect("repertoire:work", saved.pk)
    context = {"form": form, "section": "repertoire", "like": model if model.pk else None}
    return render(request, "repertoire/work_edit.html", context, status=answer(form))


@require_http_methods(["GET", "HEAD", "POST"])
def work_edit(request: StudioRequest, pk: int) -> HttpResponse:
    work = own_work(request, pk)
    name = str(work)
    form = WorkForm(**posted(request), instance=work)
    if form.is_valid():
        form.save_for(request.studio)
        messages.success(request, _("{work} is saved.").format(work=work))
        return redirect("repertoire:work", work.pk)
    context = {"form": form, "work": work, "name": name, "section": "repertoire"}
    return render(request, "repertoire/work_edit.html", context, status=answer(form))


@require_POST
def work_remove(request: StudioRequest, pk: int) -> HttpResponse:
    """Only a work that no student has or had; the database holds on to the others."""
    work = own_work(request, pk)
    try:
        work.delete()
    except ProtectedError:
        sentence = _("{work} stays: a student has it or had it, or its notes are here.")
        messages.error(request, sentence.format(work=work))
        return redirect("repertoire:work", pk)
    messages.success(request, _("{work} is removed.").format(work=work))
    return redirect("repertoire:works")


@require_GET
def ideas(request: StudioRequest) -> HttpResponse:
    open_ideas = Idea.objects.filter(Q(studio=None) | Q(studio=request.studio))
    by_title = sorted(open_ideas, key=lambda idea: folded(idea.told_title))
    context = {"ideas": by_title, "section": "repertoire"}
    return render(request, "repertoire/ideas.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
def idea_add(request: StudioRequest) -> HttpResponse:
    return _idea_form(request, Idea(studio=request.studio))


@require_http_methods(["GET", "HEAD", "POST"])
def idea_edit(request: StudioRequest, pk: int) -> HttpResponse:
    return _idea_form(request, own_idea(request, pk))


def _idea_form(request: StudioRequest, idea: Idea) -> HttpResponse:
    form = IdeaForm(**posted(request), instance=idea)
    if form.is_valid():
        form.save()
        messages.success(request, _("“{title}” is saved.").format(title=idea.title))
        return redirect("repertoire:ideas")
    context = {"form": form, "idea": idea, "section": "repertoire"}
    return render(request, "repertoire/idea_edit.html", context, status=answer(form))


@require_POST
def idea_remove(request: StudioRequest, pk: int) -> HttpResponse:
    idea = own_idea(request, pk)
    idea.delete()
    messages.success(request, _("“{title}” is removed.").format(title=idea.title))
    return redirect("repertoire:ideas")

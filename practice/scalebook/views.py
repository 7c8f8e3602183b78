"""Scale books, of one student or of the whole studio: chosen on a page, made as PDF."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from practice.figures.key_circle import KeyHeld, Known
from practice.repertoire.models import ScaleInHand
from practice.reports.figures import key_held
from practice.scalebook.apart import NotMade, book_made
from practice.scalebook.choices import offers_for, offers_of
from practice.scalebook.forms import BookForm
from practice.scalebook.wish import MOST_PAGES, BookData, InHand, Wish
from studio import clock
from studio.people.guards import own_student
from studio.people.models import Student
from studio.web.days import long_day
from studio.web.forms import answer, posted
from studio.web.http import StudioRequest
from studio.web.pdf import pdf_answer

USUAL = {"octaves": 2, "minor_form": ScaleInHand.Form.MELODIC, "arpeggios": ["tonic"]}


@require_http_methods(["GET", "HEAD", "POST"])
def of_student(request: StudioRequest, pk: int) -> HttpResponse:
    student = own_student(request, pk)
    now = student.scales.filter(until=None).first()
    form = BookForm(**posted(request), offers=offers_for(student), initial=USUAL | _like(now))

    def data(wish: Wish) -> BookData:
        hand = InHand(now.key, now.form, now.octaves, now.how) if now else None
        return _data(request, wish, student.given_name, keys_held(student), hand)

    context = {"student": student, "section": "students"}
    return _answer(request, form, data, context)


@require_http_methods(["GET", "HEAD", "POST"])
def of_studio(request: StudioRequest) -> HttpResponse:
    """The keys that are in hand somewhere are ticked to begin with."""
    learning = Student.objects.of(request.studio).learning()
    in_hand = ScaleInHand.objects.filter(student__in=learning, until=None)
    initial = USUAL | {"keys": list(in_hand.order_by().values_list("key", flat=True).distinct())}
    form = BookForm(**posted(request), offers=offers_of(request.studio), initial=initial)

    def data(wish: Wish) -> BookData:
        return _data(request, wish, request.studio.name, shared=True)

    context = {"section": "repertoire"}
    return _answer(request, form, data, context)


def _like(now: ScaleInHand | None) -> dict[str, Any]:
    """The form as the scale in hand has it."""
    if now is None:
        return {}
    minor = {} if now.form == ScaleInHand.Form.MAJOR else {"minor_form": now.form}
    bowings = [each for each in (now.bowing_1, now.bowing_2) if each]
    return {"keys": [now.key], "octaves": now.octaves, "bowings": bowings} | minor


def keys_held(student: Student) -> tuple[KeyHeld, ...]:
    """For the circle: what is in hand now and what was before."""
    rows = ScaleInHand.objects.filter(student=student)
    held = (key_held(row.key, Known.LEARNT if row.until else Known.NOW) for row in rows)
    return tuple(filter(None, held))


def _data(
    request: StudioRequest,
    wish: Wish,
    whose: str,
    held: tuple[KeyHeld, ...] = (),
    now: InHand | None = None,
    *,
    shared: bool = False,
) -> BookData:
    return BookData(
        whose=whose,
        shared=shared,
        teacher=request.studio.teacher,
        paper=request.studio.paper.lower(),
        date=long_day(clock.today(request.studio)),
        wish=wish,
        held=held,
        now=now,
    )


def _answer(
    request: StudioRequest,
    form: BookForm,
    data: Callable[[Wish], BookData],
    context: dict[str, Any],
) -> HttpResponse:
    """The book, or the form with what is wrong."""
    if form.is_valid():
        book = data(form.wish)
        try:
            name = _("scale book {name} {date}").format(name=book.whose, date=book.date)
            return pdf_answer(book_made(book), name)
        except NotMade as trouble:
            form.add_error(None, str(trouble))
    context = {"form": form, "most": MOST_PAGES, **context}
    return render(request, "scalebook/choose.html", context, status=answer(form))
